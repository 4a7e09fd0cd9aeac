"""What shapes and texts cover, worked out apart from the layout."""

import math
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import NamedTuple, TypeGuard

from fontTools.ttLib import TTFont

from tracegraph.draw.drawing import Sheet
from tracegraph.draw.shapes import (
    Anchor,
    Arc,
    Box,
    Circle,
    Point,
    Shape,
    Stroke,
    Text,
    around,
)
from tracegraph.draw.text import width
from tracegraph.views.strokes import base_line

FONT = files("tracegraph.draw") / "font"
FACES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
OTHER = (-0.2, 0.9)
"""How deep and high a letter goes, in em, that the font does not have; from memory of
what other fonts do with pictures and ideographs."""

STEPS = 16
Line = tuple[Point, Point]


class Owned(NamedTuple):
    """A text and what it belongs to."""

    owner: str
    text: Text
    box: Box


def text_box(text: Text) -> Box:
    """Return what the ink of a text covers, by the outlines of the font's letters."""
    wide = width(text.text, text.size, bold=text.bold)
    x, base = text.at[0], base_line(text)[1] / 10
    left = (
        x - {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[text.anchor]
    )
    inks = [ink(char, bold=text.bold) for char in text.text]
    deep = min((low for low, _ in inks), default=0.0)
    high = max((top for _, top in inks), default=0.0)
    return Box(left, base - high * text.size, left + wide, base - deep * text.size)


@cache
def ink(char: str, *, bold: bool) -> tuple[float, float]:
    """Return how far under and over its base line a letter has ink, in em."""
    font = face(bold=bold)
    name = font.getBestCmap().get(ord(char))
    if name is None:
        return OTHER
    glyph, em = font["glyf"][name], font["head"].unitsPerEm
    if not glyph.numberOfContours:
        return 0.0, 0.0
    return glyph.yMin / em, glyph.yMax / em


@cache
def face(*, bold: bool) -> TTFont:
    """Return the font that is shipped with the package."""
    return TTFont(str(FONT / FACES[bold]), lazy=False)


def lines(shape: Shape) -> Iterator[Line]:
    """Yield the straight lines that a shape is near enough made of; none for a text."""
    match shape:
        case Stroke(points=points, closed=closed):
            yield from pairwise((*points, points[0]) if closed else points)
        case Circle(centre=centre, radius=radius):
            yield from pairwise(_turn(centre, radius, 0.0, math.tau))
        case Arc():
            yield from pairwise(arc_points(shape))
        case Text():
            return


def arc_points(arc: Arc) -> Sequence[Point]:
    """Return points along an arc, which is never more than half a circle."""
    (x, y), (u, v) = arc.start, arc.end
    chord = math.hypot(u - x, v - y)
    rise = math.sqrt(max(arc.radius**2 - chord**2 / 4, 0.0))
    side = 1.0 if arc.clockwise else -1.0
    # Clockwise on the screen (y down): the centre lies to the right of the way.
    centre = (
        (x + u) / 2 - side * rise * (v - y) / chord,
        (y + v) / 2 + side * rise * (u - x) / chord,
    )
    first = math.atan2(y - centre[1], x - centre[0])
    last = math.atan2(v - centre[1], u - centre[0])
    sweep = (last - first) * side % math.tau * side
    radius = max(arc.radius, chord / 2)
    return _turn(centre, radius, first, sweep)


def _turn(centre: Point, radius: float, first: float, sweep: float) -> list[Point]:
    angles = [first + sweep * k / STEPS for k in range(STEPS + 1)]
    x, y = centre
    return [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles]


def shape_box(shape: Shape) -> Box:
    """Return what a shape covers, its pen's width left out."""
    if isinstance(shape, Text):
        return text_box(shape)
    return around(line_box(line) for line in lines(shape))


def line_box(line: Line) -> Box:
    """Return the box around a line."""
    (x, y), (u, v) = line
    return Box(min(x, u), min(y, v), max(x, u), max(y, v))


def runs_into(line: Line, box: Box) -> bool:
    """Return whether a line comes into the inside of a box (clipping by each side)."""
    (x, y), (u, v) = line
    if (
        max(x, u) <= box.left
        or min(x, u) >= box.right
        or max(y, v) <= box.top
        or min(y, v) >= box.bottom
    ):
        return False
    low, high = 0.0, 1.0
    for start, by, least, most in (
        (x, u - x, box.left, box.right),
        (y, v - y, box.top, box.bottom),
    ):
        if by == 0:
            continue
        ends = sorted(((least - start) / by, (most - start) / by))
        low, high = max(low, ends[0]), min(high, ends[1])
    return low < high


def texts_of(sheet: Sheet) -> list[Owned]:
    """Return every text on a sheet, and what it belongs to."""
    found = [("title", sheet.title)]
    for part in sheet.parts:
        found += [(part.ref, text) for text in (*part.texts, *part.shapes) if _is(text)]
    for k, port in enumerate(sheet.ports):
        own = f"{port.form} {port.net} #{k}"
        found += [(own, text) for text in (*port.texts, *port.shapes) if _is(text)]
    found += [(f"label {label.net}", label.text) for label in sheet.labels]
    found += [(f"frame {frame.name}", frame.text) for frame in sheet.frames]
    for k, note in enumerate(sheet.notes):
        texts = (*note.texts, *note.over, *note.under)
        found += [(f"note {k} {note.role}", text) for text in texts if _is(text)]
    found += [("legend", text) for text in sheet.legend if _is(text)]
    return [
        Owned(owner, text, text_box(text)) for owner, text in found if text.text.strip()
    ]


def _is(shape: Shape) -> TypeGuard[Text]:
    return isinstance(shape, Text)
