"""Symbols of what stores charge or flux: capacitors, crystal, coils, transformers.

Their meaning is that of IEC 60617 (sections 04 and 06), from memory.
"""

from tracegraph.draw.shapes import Box, Point, Shape, Side, Stroke
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.ink import (
    BAR,
    bar,
    compose,
    humps,
    lead,
    oblong,
    outline,
    plus,
    run,
    spot,
    two_ended,
)
from tracegraph.stage.part import Part

_NEAR, _FAR, _PLATE = 1.66, 2.34, 0.9
_PLATES = Box(1.4, -1.0, 2.6, 1.0)


def _plates() -> tuple[Shape, ...]:
    return tuple(bar((x, -_PLATE), (x, _PLATE)) for x in (_NEAR, _FAR))


def capacitor(part: Part) -> Symbol:
    """Return two plates: a capacitor by IEC 60617."""
    return two_ended(part, _NEAR, _FAR, _plates(), _PLATES)


def polarised(part: Part) -> Symbol:
    """Return two plates with a plus sign at the first: polarised by IEC 60617."""
    shapes = (*_plates(), *plus((1.05, -0.6)))
    return two_ended(part, _NEAR, _FAR, shapes, Box(0.7, -1.0, 2.6, 1.0))


def crystal(part: Part) -> Symbol:
    """Return a block between two plates: a crystal with two electrodes (IEC 60617)."""
    block = oblong(Box(1.6, -0.85, 2.4, 0.85))
    plates = (bar((x, -0.6), (x, 0.6)) for x in (1.2, 2.8))
    return two_ended(part, 1.2, 2.8, (block, *plates), Box(1.0, -1.0, 3.0, 1.0))


def inductor(part: Part) -> Symbol:
    """Return half circles in a row: a coil by IEC 60617."""
    turns = humps((0.8, 0), (3.2, 0), 3)
    return two_ended(part, 0.8, 3.2, turns, Box(0.7, -0.6, 3.3, 0.3))


def ferrite(part: Part) -> Symbol:
    """Return a slanted bead with the wire running through: common practice.

    IEC 60617 threads a conductor through a core; the slant tells it from a fuse.
    """
    bead: tuple[Point, ...] = ((1.0, 0.7), (2.3, -0.7), (3.0, -0.7), (1.7, 0.7))
    return two_ended(part, 2, 2, (outline(*bead),), Box(0.9, -0.8, 3.1, 0.8))


def winding(part: Part) -> Symbol:
    """Return half circles along a core: a winding by IEC 60617, its start dotted.

    The dots of windings on one core tell which ends go up together.
    """
    core = Stroke(((0.8, 0.42), (3.2, 0.42)), BAR)
    dots = {"dot 1": (0.45, -0.55), "dot 2": (3.55, -0.55)}
    starts = (spot(at) for word, at in dots.items() if word in part.variant)
    shapes: tuple[Shape, ...] = (*humps((0.8, 0), (3.2, 0), 3), core, *starts)
    return two_ended(part, 0.8, 3.2, shapes, Box(0.15, -0.85, 3.85, 0.65))


def current_transformer(part: Part) -> Symbol:
    """Return one straight wire along a core and a winding across it, starts dotted.

    By IEC 60617 a current transformer's primary is the conductor itself; p1 and s1
    are the ends where current goes in and comes out at the same moment.
    """
    runs = (
        run("p1", Side.LEFT, (0, 0), (1.6, 0), (1.6, 2)),
        run("p2", Side.LEFT, (0, 4), (1.6, 4), (1.6, 2)),
        run("s1", Side.RIGHT, (5, 0), (3.2, 0), (3.2, 0.5)),
        run("s2", Side.RIGHT, (5, 4), (3.2, 4), (3.2, 3.5)),
    )
    conductor = bar((1.6, 0.5), (1.6, 3.5))
    core = bar((2.2, 0.5), (2.2, 3.5))
    turns = humps((3.2, 3.5), (3.2, 0.5), 4)
    shapes: tuple[Shape, ...] = (
        conductor,
        core,
        *turns,
        spot((1.15, 0.6)),
        spot((3.7, 0.6)),
    )
    return compose(part, runs, shapes, Box(0.9, -0.3, 4.0, 4.3))


def magnet(at: Point) -> tuple[Shape, ...]:
    """Return a field's sign: lines through a plate, as in a Hall sensor."""
    x, y = at
    return (
        oblong(Box(x - 0.45, y - 0.45, x + 0.45, y + 0.45)),
        lead((x - 0.45, y - 0.45), (x + 0.45, y + 0.45)),
        lead((x - 0.45, y + 0.45), (x + 0.45, y - 0.45)),
    )
