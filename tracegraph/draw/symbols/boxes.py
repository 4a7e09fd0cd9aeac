"""Boxes: chips and everything else whose pins say more than a picture could.

A rectangle with named pins is the general symbol of IEC 60617 (section 12, from
memory): inputs on the left, outputs on the right; supplies above and grounds below
are the bench's habit.
"""

from math import ceil
from typing import NamedTuple

from tracegraph.draw.items import Item
from tracegraph.draw.shapes import Anchor, Box, Point, Shape, Side, Text
from tracegraph.draw.symbol import Leg, Symbol
from tracegraph.draw.symbols.ink import lead, number, oblong
from tracegraph.draw.symbols.sides import Sides, default_sides
from tracegraph.draw.text import cut, width
from tracegraph.draw.words import designator, value
from tracegraph.stage.part import Part

NAME = 0.9
"""Size of the pins' names."""

_LEAD = 1
_PITCH = 2
_MARGIN = 0.3
_HEADLINE = 1.3  # height that the names of upper or lower pins take
_LONGEST_NAME = 8.0
_LONGEST_UPRIGHT = 4.5
_LABEL = (4.2, 16.6)  # least and most width for designator and value
_LABEL_HEIGHT = 3.0


class _Frame(NamedTuple):
    """The rectangle and what is kept free of names in it."""

    box: Box
    room: Box


def box(part: Part, sides: Sides | None = None) -> Symbol:
    """Return a rectangle with the part's pins around it: IEC 60617's general symbol.

    Args:
        part: The part.
        sides: Where its pins stand, top to bottom and left to right; as usual if None.
    """
    around = sides or default_sides(part)
    frame = _frame(part, around)
    legs = _legs(part, around, frame.box)
    shapes: list[Shape] = [oblong(frame.box)]
    for leg in legs:
        shapes += _pin(part, leg)
    return Symbol(tuple(shapes), legs, _covered(frame.box, around), frame.room)


def shown(part: Part, pin: str) -> str:
    """Return a pin's name as it stands in the box; a bare number is told outside."""
    if pin.isdecimal():
        return ""
    return pin.upper() if part.kind.pin(pin) else pin


def _name(part: Part, pin: str, room: float) -> str:
    return cut(shown(part, pin), room, NAME)


def _frame(part: Part, sides: Sides) -> _Frame:
    """Return the rectangle, its upper left corner one lead right of the origin."""
    names = [
        max((_wide(part, pin, _LONGEST_NAME) for pin in side), default=0.0)
        for side in (sides.left, sides.right)
    ]
    taken = [wide + 2 * _MARGIN if wide else _MARGIN for wide in names]
    pitch = _pitch(part, sides)
    upright = max(len(sides.top), len(sides.bottom))
    wide = max(ceil(sum(taken) + _label(part)), pitch * upright)
    above = _HEADLINE if sides.top else _MARGIN
    below = _HEADLINE if sides.bottom else _MARGIN
    rows = max(len(sides.left), len(sides.right), 1)
    least = _PITCH * (rows - 1) + _first(sides) + (2 if sides.bottom else 1)
    high = max(least, ceil(above + below + _LABEL_HEIGHT))
    left, right = float(_LEAD), float(_LEAD + wide)
    room = Box(left + taken[0], above, right - taken[1], high - below)
    return _Frame(Box(left, 0, right, high), room)


def _first(sides: Sides) -> int:
    """Return how far below the upper edge the first row is."""
    return 2 if sides.top else 1


def _wide(part: Part, pin: str, room: float) -> float:
    return width(_name(part, pin, room), NAME)


def _label(part: Part) -> float:
    """Return the width that designator and type want, within reason."""
    least, most = _LABEL
    name, under = designator(Item(part)), value(part)
    told = max(width(name, 1.2, bold=True), width(under, 1.1))
    return min(max(told + 2 * _MARGIN, least), most)


def _pitch(part: Part, sides: Sides) -> int:
    """Return how far apart upper and lower pins stand: their names lie between."""
    widest = max(
        (_wide(part, pin, _LONGEST_UPRIGHT) for pin in (*sides.top, *sides.bottom)),
        default=0.0,
    )
    return max(_PITCH, ceil(widest + _MARGIN))


def _legs(part: Part, sides: Sides, frame: Box) -> tuple[Leg, ...]:
    """Return every pin with its place."""
    pitch, first = _pitch(part, sides), _first(sides)
    right, bottom = round(frame.right) + _LEAD, round(frame.bottom) + _LEAD
    legs = [
        Leg(pin, (x, first + _PITCH * row), side)
        for side, x, pins in (
            (Side.LEFT, 0, sides.left),
            (Side.RIGHT, right, sides.right),
        )
        for row, pin in enumerate(pins)
    ]
    for side, y, pins in (
        (Side.UP, -_LEAD, sides.top),
        (Side.DOWN, bottom, sides.bottom),
    ):
        start = _LEAD + (round(frame.right) - _LEAD - pitch * (len(pins) - 1)) // 2
        legs += [Leg(pin, (start + pitch * k, y), side) for k, pin in enumerate(pins)]
    return tuple(legs)


def _pin(part: Part, leg: Leg) -> list[Shape]:
    """Return a pin's lead, with its name inside and its number outside."""
    (x, y), (dx, dy) = leg.at, leg.side.opposite.step
    edge = (x + _LEAD * dx, y + _LEAD * dy)
    name, told = _inside(part, leg, edge), number(part, leg)
    return [lead(leg.at, edge), *(text for text in (name, told) if text)]


def _inside(part: Part, leg: Leg, edge: Point) -> Text | None:
    whole = shown(part, leg.pin)
    dx, dy = leg.side.opposite.step
    name = _name(part, leg.pin, _LONGEST_NAME if dx else _LONGEST_UPRIGHT)
    at = (edge[0] + _MARGIN * dx, edge[1] + 0.75 * dy)
    anchors = {Side.LEFT: Anchor.START, Side.RIGHT: Anchor.END}
    anchor = anchors.get(leg.side, Anchor.MIDDLE)
    full = "" if name == whole else whole
    return Text(at, name, NAME, anchor=anchor, full=full) if name else None


def _covered(frame: Box, sides: Sides) -> Box:
    """Return the rectangle with the leads that carry numbers."""
    return Box(
        frame.left - (_LEAD if sides.left else 0),
        frame.top - (_LEAD if sides.top else 0),
        frame.right + (_LEAD if sides.right else 0),
        frame.bottom + (_LEAD if sides.bottom else 0),
    )
