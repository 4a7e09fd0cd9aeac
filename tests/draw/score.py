"""How good a drawing is, in numbers: fewer crossings and bends, less wire and paper."""

from collections import Counter
from itertools import combinations
from typing import NamedTuple

from tests.draw.extent import Line, line_box
from tracegraph.draw.drawing import Drawing, Sheet, Wire
from tracegraph.draw.shapes import Point


class Score(NamedTuple):
    """What a drawing costs the eye.

    Attributes:
        parts: Symbols on it.
        sheets: Its sheets.
        crossings: Points where wires cross without meeting.
        bends: Corners of wires.
        wire: Length of all wires in grid units.
        area: Paper in square grid units.
    """

    parts: int
    sheets: int
    crossings: int
    bends: int
    wire: float
    area: float


def score(drawing: Drawing) -> Score:
    """Return how good a drawing is; ghosts are left out."""
    sheets = drawing.sheets
    wires = [[wire for wire in sheet.wires if not wire.ghost] for sheet in sheets]
    return Score(
        sum(part.status != "ghost" for sheet in sheets for part in sheet.parts),
        len(sheets),
        sum(crossings(one) for one in wires),
        sum(bends(wire) for one in wires for wire in one),
        sum(length(line) for one in wires for wire in one for line in wire.segments),
        sum(_area(sheet) for sheet in sheets),
    )


def _area(sheet: Sheet) -> float:
    return sheet.width * sheet.height


def length(line: Line) -> float:
    """Return the length of an upright or level line."""
    box = line_box(line)
    return box.right - box.left + box.bottom - box.top


def crossings(wires: list[Wire]) -> int:
    """Return at how many points wires cross without a dot, each point once."""
    dots = {dot for wire in wires for dot in wire.dots}
    lines = [line for wire in wires for line in wire.segments]
    found = {_crossing(one, other) for one, other in combinations(lines, 2)}
    return len(found - dots - {None})


def _crossing(one: Line, other: Line) -> Point | None:
    """Return where two lines run through each other, or None."""
    a, b = line_box(one), line_box(other)
    level, upright = (a, b) if a.top == a.bottom else (b, a)
    if level.top != level.bottom or upright.left != upright.right:
        return None
    x, y = upright.left, level.top
    inside = level.left < x < level.right and upright.top < y < upright.bottom
    return (x, y) if inside else None


def bends(wire: Wire) -> int:
    """Return how many corners a wire has: two arms at a point, one level, one upright."""
    level: Counter[Point] = Counter()
    upright: Counter[Point] = Counter()
    for a, b in wire.segments:
        (level if a[1] == b[1] else upright).update((a, b))
    both = level.keys() & upright.keys()
    return sum(level[at] == upright[at] == 1 and at not in wire.dots for at in both)
