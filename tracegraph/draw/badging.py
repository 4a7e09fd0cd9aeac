"""A mark's badge at the first free spot near its target, and its text beside it."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from tracegraph.draw.cell import text_box
from tracegraph.draw.drawing import Drawn, NetLabel, Noted, Port, Wire
from tracegraph.draw.names import SIZE, WIDEST
from tracegraph.draw.overlay import Mark
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Anchor, Box, Point, Shape, Text
from tracegraph.draw.symbols.badges import badge, badge_box, tone_of
from tracegraph.draw.text import cut

HALF = 1.3
"""Half of what a badge takes, and a little."""


class Ground(NamedTuple):
    """The sheet that marks are put on.

    Attributes:
        drawn: Its parts, missing ones too.
        wires: Its copper.
        labels: The names of nets.
        room: What is taken; every mark takes its own.
        ports: Its rails, grounds and flags.
    """

    drawn: tuple[Drawn, ...]
    wires: tuple[Wire, ...]
    labels: tuple[NetLabel, ...]
    room: Room
    ports: tuple[Port, ...] = ()


def with_badge(
    ground: Ground,
    mark: Mark,
    spots: Iterable[Point],
    under: tuple[Shape, ...],
    over: tuple[Shape, ...],
) -> Noted:
    """Return a mark with its badge at the first free spot, and its text beside it."""
    places = list(spots)
    at = next((one for one in places if ground.room.free(badge_box(one))), places[0])
    ground.room.take(badge_box(at))
    letter = str(mark.rank) if mark.rank else ""
    texts: tuple[Text, ...] = ()
    if mark.text:
        text = fitted(ground, mark, _beside(at)) or fitted(
            ground, mark, [spot for place in places for spot in _beside(place)]
        )
        texts = (text,) if text else ()
    over = (*over, *badge(mark.role, at, letter))
    return Noted(mark.role, mark.target, under, over, texts, mark.more or mark.text)


def _beside(at: Point) -> Iterator[tuple[Point, Anchor]]:
    x, y = at
    for dy in (0.0, -1.2, 1.2, -2.0, 2.0):
        yield (x + HALF, y + dy), Anchor.START
        yield (x - HALF, y + dy), Anchor.END


def corners(box: Box) -> Iterator[Point]:
    """Yield places for a badge around a box, nearest first."""
    for away in (0.9, 1.8, 2.8, 4.0, 6.0):
        for x in (box.left - away, box.right + away):
            for y in (box.top - away, box.bottom + away, *_heights(box)):
                yield x, y
        for y in (box.top - away, box.bottom + away):
            yield (box.left + box.right) / 2, y


def _heights(box: Box) -> tuple[float, ...]:
    middle = (box.top + box.bottom) / 2
    return middle, (middle + box.top) / 2, (middle + box.bottom) / 2


def near(points: Iterable[Point]) -> Iterator[Point]:
    """Yield places for a badge around points."""
    for x, y in points:
        for away in (1.2, 2.2, 3.2):
            for dx, dy in ((1, -1), (-1, -1), (1, 1), (-1, 1)):
                yield x + dx * away, y + dy * away


def fitted(
    ground: Ground, mark: Mark, spots: Iterable[tuple[Point, Anchor]]
) -> Text | None:
    """Return a mark's text at the first spot that has room, and take it."""
    short = cut(mark.text, WIDEST, SIZE)
    for at, anchor in spots:
        text = Text(at, short, SIZE, anchor=anchor, tone=tone_of(mark.role))
        box = text_box(text)
        if ground.room.free(box.grown(0.05)):
            ground.room.take(box)
            return text._replace(full=mark.text if short != mark.text else "")
    return None
