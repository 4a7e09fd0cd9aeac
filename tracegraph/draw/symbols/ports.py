"""Small symbols at the ends of wires: rails, grounds, flags, untraced and unplugged.

Rails and grounds mean what IEC 60617 (section 02, from memory) says of them: a bar is a
supply, three bars are earth, a triangle is a common return that need not be earth. Where
a section has several grounds, each keeps its own form: they are not one copper.
"""

from collections.abc import Iterable
from typing import NamedTuple

from tracegraph.draw.shapes import (
    Anchor,
    Arc,
    Box,
    Point,
    Pose,
    Shape,
    Side,
    Stroke,
    Text,
    Tone,
    around,
    posed,
)
from tracegraph.draw.symbols.ink import BAR, LEAD, bar, lead, outline, sign
from tracegraph.draw.text import cut, width

LONGEST = 14.0
"""Width that a name at a port may take, in units; the rest is cut."""

_NAME = 1.0
_FLAG = 1.1
_HEIGHT = 0.78  # of a line of text, over its em


class PortSymbol(NamedTuple):
    """A small symbol at the end of a wire.

    Attributes:
        shapes: What is drawn.
        texts: What is written.
        box: What both cover; the wire meets it at its edge.
    """

    shapes: tuple[Shape, ...]
    texts: tuple[Text, ...]
    box: Box


def rail(at: Point, side: Side, name: str) -> PortSymbol:
    """Return a bar across the end of a lead, with the rail's name beyond it.

    Args:
        at: Where the pin or wire ends.
        side: The way that the lead goes from there.
        name: What the rail is called.
    """
    shapes = _turned((lead((0, 0), (1, 0)), bar((1, -0.85), (1, 0.85))), at, side)
    return _port(
        shapes,
        (_name(name, at, side, 1.45),),
        _turned_box(Box(0, -0.95, 1.15, 0.95), at, side),
    )


def ground(
    at: Point, side: Side, index: int = 0, name: str = "", *, named: bool = False
) -> PortSymbol:
    """Return the form of a ground: one for each that the section has.

    Args:
        at: Where the pin or wire ends.
        side: The way that the lead goes from there.
        index: Which of the section's grounds it is: bars, triangle, chassis, and
            from 3 on a triangle with its number.
        name: What the ground is called.
        named: Whether the name is written as well.
    """
    form = (_earth, _return, _chassis)[index] if index < 3 else _return
    shapes = _turned((lead((0, 0), (1, 0)), *form()), at, side)
    texts = [_name(name, at, side, 2.35)] if named else []
    if index >= 3:
        texts.append(_index(index, at, side))
    return _port(shapes, texts, _turned_box(Box(0, -1.0, 2.1, 1.0), at, side))


def _earth() -> tuple[Shape, ...]:
    """Return three bars, each shorter."""
    steps = ((1.0, 0.9), (1.42, 0.55), (1.84, 0.2))
    return tuple(Stroke(((x, -half), (x, half)), 0.22) for x, half in steps)


def _return() -> tuple[Shape, ...]:
    """Return a hollow triangle."""
    return (outline((1, -0.9), (1, 0.9), (2, 0)),)


def _chassis() -> tuple[Shape, ...]:
    """Return a bar with three slanted strokes."""
    strokes = (lead((1, y), (1.8, y - 0.5)) for y in (-0.35, 0.25, 0.85))
    return (bar((1, -0.9), (1, 0.9)), *strokes)


def _index(index: int, at: Point, side: Side) -> Text:
    dx, dy = side.step
    place = (at[0] + 1.36 * dx, at[1] + 1.36 * dy)
    return sign(str(index + 1), place, 0.75, bold=True)


def flag(at: Point, side: Side, name: str, *, points_in: bool) -> PortSymbol:
    """Return a pentagon with a name in it: the net goes on elsewhere.

    Args:
        at: Where the wire ends.
        side: The way that it goes from there; up and down have a stem.
        name: What is written in it.
        points_in: Whether its point is at the wire (the signal comes in here) rather
            than away from it.
    """
    text = cut(name, LONGEST, _FLAG, bold=True)
    long, high = width(text, _FLAG, bold=True) + 0.7, 0.8
    if side in {Side.LEFT, Side.RIGHT}:
        shape = _pentagon(long, high, points_in=points_in)
        shapes = _turned((shape,), at, side)
        middle = 0.75 + long / 2 if points_in else long / 2
        box = Box(0, -high - 0.1, long + 0.85, high + 0.1)
    else:
        shape = _upright_pentagon(long / 2, high, points_in=points_in)
        shapes = _turned((lead((0, 0), (1, 0)), shape), at, side)
        middle = 1 + high + (0.6 if points_in else 0)
        box = Box(0, -long / 2 - 0.1, 1.7 + 2 * high, long / 2 + 0.1)
    dx, dy = side.step
    place = (at[0] + middle * dx, at[1] + middle * dy)
    full = "" if text == name else name
    written = Text(place, text, _FLAG, bold=True, anchor=Anchor.MIDDLE, full=full)
    return _port(shapes, (written,), _turned_box(box, at, side))


def _pentagon(long: float, high: float, *, points_in: bool) -> Shape:
    """Return a flag lying along the wire, its point at the wire or away from it."""
    if points_in:
        far = 0.75 + long
        corners: tuple[Point, ...] = (
            (0, 0),
            (0.75, -high),
            (far, -high),
            (far, high),
            (0.75, high),
        )
    else:
        corners = (
            (0, -high),
            (long, -high),
            (long + 0.75, 0),
            (long, high),
            (0, high),
        )
    return outline(*corners)


def _upright_pentagon(half: float, high: float, *, points_in: bool) -> Shape:
    """Return a flag across the wire, behind its stem."""
    near, far, tip = 1.0, 1.0 + 2 * high, 0.6
    if points_in:
        return outline(
            (near, 0),
            (near + tip, -half),
            (far + tip, -half),
            (far + tip, half),
            (near + tip, half),
        )
    return outline(
        (near, -half), (far, -half), (far + tip, 0), (far, half), (near, half)
    )


def stub(at: Point, side: Side) -> PortSymbol:
    """Return a lead that runs out in a wave with a question mark: more may hang here."""
    wave = (
        Arc((0.5, 0), (1.0, 0), 0.25, width=LEAD),
        Arc((1.0, 0), (1.5, 0), 0.25, clockwise=False, width=LEAD),
    )
    shapes = _turned((lead((0, 0), (0.5, 0)), *wave), at, side)
    dx, dy = side.step
    mark = sign("?", (at[0] + 2.0 * dx, at[1] + 2.0 * dy), 1.1, bold=True)
    return _port(shapes, (mark,), _turned_box(Box(0, -0.5, 2.4, 0.5), at, side))


def unplugged(at: Point, side: Side) -> PortSymbol:
    """Return an open half circle at a lead's end: a socket whose plug is out."""
    cup = Arc((1.2, -0.45), (1.2, 0.45), 0.45, clockwise=False, width=BAR)
    shapes = _turned((lead((0, 0), (0.75, 0)), cup), at, side)
    return _port(shapes, (), _turned_box(Box(0, -0.6, 1.35, 0.6), at, side))


def _port(shapes: tuple[Shape, ...], texts: Iterable[Text], covered: Box) -> PortSymbol:
    """Return a symbol with a box around all of it."""
    written = tuple(texts)
    return PortSymbol(shapes, written, around((covered, *map(_extent, written))))


def _extent(text: Text) -> Box:
    """Return what a text covers."""
    wide = width(text.text, text.size, bold=text.bold)
    (x, y), half = text.at, text.size * _HEIGHT / 2
    left = {Anchor.START: x, Anchor.MIDDLE: x - wide / 2, Anchor.END: x - wide}
    return Box(left[text.anchor], y - half, left[text.anchor] + wide, y + half)


def _turned(shapes: Iterable[Shape], at: Point, side: Side) -> tuple[Shape, ...]:
    """Return shapes drawn to the right as they go to a side from a point."""
    return tuple(posed(shape, Pose(int(side)), at) for shape in shapes)


def _turned_box(box: Box, at: Point, side: Side) -> Box:
    return Pose(int(side)).box(box).moved(at)


def _name(name: str, at: Point, side: Side, away: float) -> Text:
    """Return a name beyond a symbol, on the way that it goes."""
    text = cut(name, LONGEST, _NAME)
    dx, dy = side.step
    anchors = {Side.RIGHT: Anchor.START, Side.LEFT: Anchor.END}
    reach = away if dx else away + 0.3
    place = (at[0] + reach * dx, at[1] + reach * dy)
    full = "" if text == name else name
    anchor = anchors.get(side, Anchor.MIDDLE)
    return Text(place, text, _NAME, anchor=anchor, tone=Tone.FAINT, full=full)
