"""A cell: symbols that stand fast to each other, with the ends that wires shall reach."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from tracegraph.draw.drawing import Drawn, Frame, Port
from tracegraph.draw.shapes import Anchor, Box, Grid, Point, Shape, Side, Text, around
from tracegraph.draw.text import width


class End(NamedTuple):
    """Where a wire of a net shall arrive.

    Attributes:
        net: The net.
        at: The grid point.
        side: The way that the wire leaves it.
        gives: Whether the signal comes out of here rather than goes in.
    """

    net: str
    at: Grid
    side: Side
    gives: bool = False


class Cell(NamedTuple):
    """Symbols that stand fast to each other.

    Attributes:
        drawn: The parts.
        ports: Rails, grounds and flags that stand at its pins.
        ends: Where wires arrive.
        rank: How far along the signal it belongs.
        passes: Whether the signal runs on past it, as past a pull-down.
        frame: The frame of a sister channel around it, or None.
    """

    drawn: tuple[Drawn, ...]
    ports: tuple[Port, ...]
    ends: tuple[End, ...]
    rank: float = 0.0
    passes: bool = False
    frame: Frame | None = None

    @property
    def box(self) -> Box:
        """Everything of it, with the names and leads."""
        return around(self._boxes())

    def _boxes(self) -> Iterator[Box]:
        for one in self.drawn:
            yield one.body
            yield from map(text_box, one.texts)
            yield from (Box(*leg.at, *leg.at) for leg in one.legs)
        for port in self.ports:
            yield port.box
            yield Box(*port.at, *port.at)
        if self.frame:
            yield self.frame.box


def moved(cell: Cell, by: Grid) -> Cell:
    """Return a cell moved."""
    return cell._replace(
        drawn=tuple(moved_part(one, by) for one in cell.drawn),
        ports=tuple(moved_port(one, by) for one in cell.ports),
        ends=tuple(one._replace(at=_plus(one.at, by)) for one in cell.ends),
        frame=cell.frame and moved_frame(cell.frame, by),
    )


def moved_frame(frame: Frame, by: Grid) -> Frame:
    """Return a frame moved."""
    (text,) = moved_texts((frame.text,), by)
    return frame._replace(box=frame.box.moved(by), text=text)


def moved_part(one: Drawn, by: Grid) -> Drawn:
    """Return a part moved."""
    return one._replace(
        legs=tuple(leg._replace(at=_plus(leg.at, by)) for leg in one.legs),
        shapes=moved_shapes(one.shapes, by),
        texts=moved_texts(one.texts, by),
        body=one.body.moved(by),
    )


def moved_port(port: Port, by: Grid) -> Port:
    """Return a port moved."""
    return port._replace(
        at=_shift(port.at, by),
        shapes=moved_shapes(port.shapes, by),
        texts=moved_texts(port.texts, by),
        box=port.box.moved(by),
    )


def moved_shapes(shapes: Iterable[Shape], by: Point) -> tuple[Shape, ...]:
    """Return shapes moved."""
    from tracegraph.draw.shapes import Pose, posed

    return tuple(posed(shape, Pose(), by) for shape in shapes)


def moved_texts(texts: Iterable[Text], by: Point) -> tuple[Text, ...]:
    """Return texts moved."""
    return tuple(text._replace(at=_shift(text.at, by)) for text in texts)


def _plus(at: Grid, by: Grid) -> Grid:
    return at[0] + by[0], at[1] + by[1]


def _shift(at: Point, by: Point) -> Point:
    return at[0] + by[0], at[1] + by[1]


HIGH, HIGHEST = 0.42, 0.57
"""How far letters reach over a text's middle, in em: plain ones, and accented ones."""

LOW, LOWEST = 0.39, 0.61
"""How far they reach under it: those that stand on the line, and those that hang."""

HANGING = set("_gjpqyJQ$(),/;@[]\\{|}")


def text_box(text: Text) -> Box:
    """Return what a text covers."""
    wide = width(text.text, text.size, bold=text.bold)
    x, y = text.at
    left = {Anchor.START: x, Anchor.MIDDLE: x - wide / 2, Anchor.END: x - wide}
    plain = text.text.isascii()
    hangs = not plain or not HANGING.isdisjoint(text.text)
    return Box(
        left[text.anchor],
        y - text.size * (HIGH if plain else HIGHEST),
        left[text.anchor] + wide,
        y + text.size * (LOWEST if hangs else LOW),
    )
