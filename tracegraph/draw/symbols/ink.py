"""The pen: leads, bars, outlines, arrows and windings that all symbols are drawn with."""

from collections.abc import Iterable
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from tracegraph.draw.shapes import (
    Anchor,
    Arc,
    Box,
    Circle,
    Fill,
    Grid,
    Point,
    Shape,
    Side,
    Stroke,
    Text,
    Tone,
)
from tracegraph.draw.symbol import Leg, Symbol
from tracegraph.draw.text import cut, width
from tracegraph.stage.part import Part

THIN, LEAD, BAR = 0.1, 0.15, 0.25
WRITTEN, USUAL = 0.8, 0.7
"""Sizes of pin numbers: as the file says, and where only a usual pinout tells them."""


NUMBER_ROOM = 1.05
"""What a number over a lead of one unit may take."""

_LEAST = 0.5


class Run(NamedTuple):
    """A lead, from the leg inwards.

    Attributes:
        pin: The pin that it belongs to.
        side: The way that a wire leaves it.
        points: The leg's place first; the last one touches the symbol.
    """

    pin: str
    side: Side
    points: tuple[Point, ...]

    @property
    def leg(self) -> Leg:
        """Where a wire meets it."""
        x, y = self.points[0]
        return Leg(self.pin, (round(x), round(y)), self.side)


def run(pin: str, side: Side, *points: Point) -> Run:
    """Return a lead from its leg inwards."""
    return Run(pin, side, points)


def compose(
    part: Part,
    runs: Iterable[Run],
    shapes: Iterable[Shape],
    body: Box,
    *,
    numbers: float = 0.0,
) -> Symbol:
    """Return a symbol: what is drawn, with leads at the wired pins alone.

    Args:
        part: The part; pins that it lacks get no lead.
        runs: A lead for every pin that the symbol knows.
        shapes: Everything else.
        body: What is covered.
        numbers: How wide a pin number over a lying lead may be; none stand there if 0.
    """
    wired = tuple(one for one in runs if one.pin in part.pins)
    texts = [number(part, one.leg, numbers) for one in wired] if numbers else []
    drawn = (*(lead(*one.points) for one in wired), *shapes, *filter(None, texts))
    return Symbol(drawn, tuple(one.leg for one in wired), body)


def number(part: Part, leg: Leg, room: float = NUMBER_ROOM) -> Text | None:
    """Return the number of a pin beside its lead; in brackets where it is the usual one.

    A usual number is told only where the pinout is known, no pin was written with a
    number, the part is no unit of a larger package and has no pins beyond the usual.

    Args:
        part: The part.
        leg: The pin and its place.
        room: How long a lying lead is; the number is made to fit over it.
    """
    text, size = _written_number(part, leg.pin), WRITTEN
    if not text:
        text, size = _usual_number(part, leg.pin), USUAL
    if not text:
        return None
    size = max(min(size, size * room / width(text, size)), _LEAST)
    short = cut(text, room, size)
    (x, y), (dx, dy) = leg.at, leg.side.opposite.step
    if dx:
        at, anchor = (x + room / 2 * dx, y - 0.5), Anchor.MIDDLE
    else:
        at, anchor = (x + 0.25, y + 0.35 * dy), Anchor.START
    full = "" if short == text else text
    return Text(at, short, size, anchor=anchor, tone=Tone.FAINT, full=full)


def _written_number(part: Part, pin: str) -> str:
    """Return a pin's number as the file has it; with a mark where nobody knows the pin."""
    written = part.numbers.get(pin, "")
    if not written:
        return pin if pin.isdecimal() and not part.kind.pin(pin) else ""
    return written if part.pinout else f"{written}?"


def _usual_number(part: Part, pin: str) -> str:
    spec = part.kind.pin(pin)
    beyond = any(part.kind.pin(one) is None for one in part.pins)
    doubted = part.numbers or not part.pinout or part.ref != part.package or beyond
    return f"({spec.number})" if spec and spec.number and not doubted else ""


def lead(*points: Point) -> Stroke:
    """Return a lead or a thin line of a symbol."""
    return Stroke(points, LEAD)


def bar(*points: Point) -> Stroke:
    """Return a plate, a base or a cathode."""
    return Stroke(points, BAR)


def outline(*points: Point, line: float = LEAD) -> Stroke:
    """Return a hollow outline."""
    return Stroke(points, line, closed=True)


def solid(*points: Point) -> Stroke:
    """Return a filled outline."""
    return Stroke(points, THIN, closed=True, fill=Fill.INK)


def oblong(box: Box, line: float = LEAD) -> Stroke:
    """Return a rectangle."""
    left, top, right, bottom = box
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Stroke(corners, line, closed=True)


def spot(at: Point, radius: float = 0.2) -> Circle:
    """Return a filled spot: a joint inside a symbol, or the start of a winding."""
    return Circle(at, radius, THIN, Fill.INK)


def arrow(start: Point, tip: Point, length: float = 0.6, half: float = 0.28) -> Stroke:
    """Return an arrow's head alone, its tip at `tip`, as if it came from `start`."""
    dx, dy = tip[0] - start[0], tip[1] - start[1]
    far = hypot(dx, dy)
    ux, uy = dx / far, dy / far
    back = tip[0] - length * ux, tip[1] - length * uy
    one = back[0] - half * uy, back[1] + half * ux
    two = back[0] + half * uy, back[1] - half * ux
    return solid(tip, one, two)


def along(start: Point, end: Point, share: float) -> Point:
    """Return the point at a share of the way."""
    return (
        start[0] + share * (end[0] - start[0]),
        start[1] + share * (end[1] - start[1]),
    )


def humps(start: Point, end: Point, count: int) -> tuple[Arc, ...]:
    """Return the half circles of a winding, bulging to the left of its way."""
    marks = [along(start, end, k / count) for k in range(count + 1)]
    radius = hypot(end[0] - start[0], end[1] - start[1]) / count / 2
    return tuple(Arc(a, b, radius) for a, b in pairwise(marks))


def sign(text: str, at: Point, size: float = 1.0, *, bold: bool = False) -> Text:
    """Return a letter that belongs to a symbol, centred."""
    return Text(at, text, size, bold, Anchor.MIDDLE)


def plus(at: Point, half: float = 0.25) -> tuple[Stroke, Stroke]:
    """Return a plus sign."""
    x, y = at
    return lead((x - half, y), (x + half, y)), lead((x, y - half), (x, y + half))


def minus(at: Point) -> Text:
    """Return a minus sign; a letter, so that it lies in every pose."""
    return sign("−", at, 1.3, bold=True)


def two_ended(
    part: Part, left: float, right: float, shapes: Iterable[Shape], body: Box
) -> Symbol:
    """Return a symbol of two terminals, lying, its first pin on the left.

    Args:
        part: The part; its kind tells the order of its pins.
        left: How far the first pin's lead reaches in from (0, 0).
        right: Where the lead from (4, 0) ends.
        shapes: What stands between.
        body: What is covered.
    """
    first, last = (spec.name for spec in part.kind.pins)
    runs = (
        run(first, Side.LEFT, (0, 0), (left, 0)),
        run(last, Side.RIGHT, (4, 0), (right, 0)),
    )
    return compose(part, runs, shapes, body)


def three_ended(
    part: Part,
    pins: tuple[str, str, str],
    inner: tuple[Point, Point, Point],
    shapes: Iterable[Shape],
    body: Box,
) -> Symbol:
    """Return a symbol with a control on the left and its two main pins up and down.

    Args:
        part: The part.
        pins: The control, the upper and the lower main pin.
        inner: Where the lead of each touches the symbol.
        shapes: What stands between.
        body: What is covered; more where pin numbers stand at the leads.
    """
    places: tuple[tuple[Side, Grid], ...] = (
        (Side.LEFT, (0, 2)),
        (Side.UP, (3, 0)),
        (Side.DOWN, (3, 4)),
    )
    runs = [
        Run(pin, side, (place, end))
        for pin, (side, place), end in zip(pins, places, inner, strict=True)
    ]
    if part.numbers:
        body = Box(0, 0, max(body.right, 4.3), 4)
    return compose(part, runs, shapes, body, numbers=0.78 if part.numbers else 0.0)
