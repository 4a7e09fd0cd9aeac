"""Symbols of bipolar transistors, MOSFETs and IGBTs.

Their meaning is that of IEC 60617 (section 05), from memory. The arrow of an emitter
points the way that current flows; a channel of three pieces conducts only when its
gate says so; the arrow on a channel points to N material.
"""

from tracegraph.draw.shapes import Box, Circle, Point, Shape
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.diodes import beside
from tracegraph.draw.symbols.ink import (
    THIN,
    along,
    arrow,
    bar,
    lead,
    oblong,
    spot,
    three_ended,
)
from tracegraph.stage.kinds.igbt import NO_DIODE
from tracegraph.stage.kinds.transistor import fitted
from tracegraph.stage.part import Part

_CENTRE, _RADIUS = (2.22, 2.0), 1.5
_BASE = 1.5
_UPPER, _LOWER = (3.0, 0.8), (3.0, 3.2)
_ROUND = Box(0.65, 0.45, 3.8, 3.55)


def _arms(x: float, half: float = 0.45) -> tuple[Point, Point]:
    return (x, 2 - half), (x, 2 + half)


def _bipolar(part: Part, arm: Shape, pins: tuple[str, str, str]) -> Symbol:
    """Return a transistor in its circle, or in a frame with resistors inside."""
    built_in = [symbol for symbol in ("r1", "r2") if fitted(part, symbol)]
    base = 2.0 if built_in else _BASE
    high, low = _arms(base)
    body = (bar((base, 1.0), (base, 3.0)), lead(high, _UPPER), lead(low, _LOWER), arm)
    inner = ((base, 2.0), _UPPER, _LOWER)
    if not built_in:
        circle = Circle(_CENTRE, _RADIUS)
        return three_ended(part, pins, inner, (circle, *body), _ROUND)
    emitter_up = pins[1] == "e"
    return _framed(part, pins, body, built_in, emitter_up=emitter_up)


def _framed(
    part: Part,
    pins: tuple[str, str, str],
    body: tuple[Shape, ...],
    built_in: list[str],
    *,
    emitter_up: bool,
) -> Symbol:
    """Return a transistor with its base and base-emitter resistors in one frame."""
    shapes: list[Shape] = [*body, oblong(Box(0.4, 0.35, 3.6, 3.65), THIN)]
    start = 2.0
    if "r1" in built_in:
        shapes += [oblong(Box(0.5, 1.78, 1.15, 2.22), 0.12), lead((1.15, 2), (2, 2))]
        start = 0.5
    if "r2" in built_in:
        turn = -1 if emitter_up else 1
        far = 2 + 1.42 * turn
        near, end = sorted((2 + 0.45 * turn, 2 + 1.1 * turn))
        shapes += [
            spot((1.42, 2), 0.13),
            lead((1.42, 2), (1.42, 2 + 0.45 * turn)),
            oblong(Box(1.22, near, 1.62, end), 0.12),
            lead((1.42, 2 + 1.1 * turn), (1.42, far), (3, far)),
        ]
    inner = ((start, 2.0), _UPPER, _LOWER)
    return three_ended(part, pins, inner, shapes, Box(0.3, 0.25, 3.7, 3.75))


def npn(part: Part) -> Symbol:
    """Return an NPN transistor (IEC 60617): the emitter's arrow points out, down."""
    start, end = _arms(2.0 if _built_in(part) else _BASE)[1], _LOWER
    head = arrow(start, along(start, end, 0.88))
    return _bipolar(part, head, ("b", "c", "e"))


def pnp(part: Part) -> Symbol:
    """Return a PNP transistor (IEC 60617): the emitter, up, has its arrow inwards."""
    start, end = _UPPER, _arms(2.0 if _built_in(part) else _BASE)[0]
    head = arrow(start, along(start, end, 0.72))
    return _bipolar(part, head, ("b", "e", "c"))


def _built_in(part: Part) -> bool:
    return fitted(part, "r1") or fitted(part, "r2")


_GATE, _CHANNEL, _MAIN, _DIODE = 1.2, 1.68, 3.0, 4.0
_FET = Box(1.0, 0.55, 4.6, 3.45)


def _field_effect(part: Part, pins: tuple[str, str, str], *, n: bool) -> Symbol:
    pieces = (bar((_CHANNEL, a), (_CHANNEL, a + 0.6)) for a in (0.9, 1.7, 2.5))
    gate = bar((_GATE, 1.0), (_GATE, 3.0))
    ends = (lead((_CHANNEL, y), (_MAIN, y)) for y in (1.2, 2.8))
    source = 2.8 if n else 1.2
    substrate = lead((_MAIN, source), (_MAIN, 2), (_CHANNEL, 2))
    left, right = (_CHANNEL + 0.15, 2.0), (_MAIN - 0.35, 2.0)
    head = arrow(right, left) if n else arrow(left, right)
    diode = (lead((_MAIN, 0.75), (_DIODE, 0.75), (_DIODE, 3.25), (_MAIN, 3.25)),)
    shapes = (*pieces, gate, *ends, substrate, head, *diode, *beside((_DIODE, 2)))
    inner = ((_GATE, 2.0), (_MAIN, 1.2), (_MAIN, 2.8))
    return three_ended(part, pins, inner, shapes, _FET)


def nfet(part: Part) -> Symbol:
    """Return an N-channel MOSFET (IEC 60617), enhancement type, with its body diode."""
    return _field_effect(part, ("g", "d", "s"), n=True)


def pfet(part: Part) -> Symbol:
    """Return a P-channel MOSFET (IEC 60617), source up, with its body diode."""
    return _field_effect(part, ("g", "s", "d"), n=False)


def igbt(part: Part) -> Symbol:
    """Return an IGBT (IEC 60617): an insulated gate beside a bipolar's bar.

    The antiparallel diode stands beside it unless the part has none.
    """
    gate, base, main = 1.2, 1.68, 3.0
    high, low = (base, 1.55), (base, 2.45)
    upper, lower = (main, 0.95), (main, 3.05)
    shapes: list[Shape] = [
        bar((gate, 1.1), (gate, 2.9)),
        bar((base, 0.9), (base, 3.1)),
        lead(high, upper),
        lead(low, lower),
        arrow(low, along(low, lower, 0.9)),
    ]
    inner = ((gate, 2.0), upper, lower)
    if NO_DIODE in part.variant:
        body = Box(1.0, 0.7, 3.2, 3.3)
        return three_ended(part, ("g", "c", "e"), inner, shapes, body)
    shapes += [lead((main, 0.75), (_DIODE, 0.75), (_DIODE, 3.25), (main, 3.25))]
    shapes += beside((_DIODE, 2))
    return three_ended(part, ("g", "c", "e"), inner, shapes, _FET)
