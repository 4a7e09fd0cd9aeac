"""Symbols of chips that are better shown than boxed: couplers, amplifiers, buffers.

Their meaning is that of IEC 60617 (sections 05, 12 and 13), from memory.
"""

from tracegraph.draw.shapes import Box, Circle, Point, Shape, Side
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.boxes import box
from tracegraph.draw.symbols.ink import (
    NUMBER_ROOM,
    THIN,
    Run,
    along,
    arrow,
    bar,
    compose,
    lead,
    minus,
    oblong,
    outline,
    plus,
    run,
    solid,
)
from tracegraph.draw.symbols.stores import magnet
from tracegraph.stage.kinds.analog import PUSH_PULL
from tracegraph.stage.part import Part

_LAMP = 2.4  # where the light-emitting diode of a coupler stands


def _light() -> tuple[Shape, ...]:
    """Return an upright diode and the light that it sends to the right."""
    x = _LAMP
    rays: list[Shape] = []
    for y in (1.35, 2.15):
        start, tip = (x + 0.95, y), (x + 1.85, y + 0.35)
        rays += [lead(start, tip), arrow(start, tip, 0.45, 0.2)]
    triangle = solid((x - 0.7, 1.35), (x + 0.7, 1.35), (x, 2.6))
    return triangle, bar((x - 0.7, 2.6), (x + 0.7, 2.6)), *rays


def _lamp_runs() -> tuple[Run, Run]:
    return (
        run("a", Side.LEFT, (0, 0), (_LAMP, 0), (_LAMP, 1.35)),
        run("k", Side.LEFT, (0, 4), (_LAMP, 4), (_LAMP, 2.6)),
    )


def optocoupler(part: Part) -> Symbol:
    """Return a light-emitting diode and a phototransistor in one frame (IEC 60617).

    Light is all that crosses: left and right share no copper.
    """
    base, main = 5.1, 6.2
    high, low = (base, 1.55), (base, 2.45)
    upper, lower = (main, 0.85), (main, 3.15)
    runs = (
        *_lamp_runs(),
        run("c", Side.RIGHT, (8, 0), (main, 0), upper),
        run("e", Side.RIGHT, (8, 4), (main, 4), lower),
        run("b", Side.DOWN, (5, 6), (5, 2.9)),
    )
    transistor = (
        bar((base, 1.0), (base, 3.0)),
        lead(high, upper),
        lead(low, lower),
        arrow(low, along(low, lower, 0.9)),
    )
    frame = oblong(Box(1, -1, 7, 5), THIN)
    body = Box(0, -1.1, 8, 6 if "b" in part.pins else 5.1)
    return compose(
        part, runs, (frame, *_light(), *transistor), body, numbers=NUMBER_ROOM
    )


def optodriver(part: Part) -> Symbol:
    """Return a light-emitting diode and a buffer in one frame (IEC 60617).

    Light is all that crosses: left and right share no copper.
    """
    runs = (
        *_lamp_runs(),
        run("vcc", Side.UP, (6, -2), (6, 1.3)),
        run("out", Side.RIGHT, (9, 2), (7.2, 2)),
        run("vee", Side.DOWN, (6, 6), (6, 2.7)),
    )
    triangle = outline((4.9, 0.65), (4.9, 3.35), (7.2, 2))
    frame = oblong(Box(1, -1, 8, 5), THIN)
    body = Box(0, -2, 9, 6)
    return compose(part, runs, (frame, *_light(), triangle), body, numbers=NUMBER_ROOM)


def _amplifier(part: Part, *inside: Shape) -> Symbol:
    """Return the triangle of an amplifier, its inverting input above."""
    runs = (
        run("in-", Side.LEFT, (0, 1), (1, 1)),
        run("in+", Side.LEFT, (0, 3), (1, 3)),
        run("out", Side.RIGHT, (7, 2), (6, 2)),
        run("vcc", Side.UP, (3, -1), (3, 0.6)),
        run("gnd", Side.DOWN, (3, 5), (3, 3.4)),
    )
    triangle = outline((1, -0.7), (1, 4.7), (6, 2))
    signs = (minus((1.6, 1)), *plus((1.6, 3)))
    shapes = (triangle, *signs, *inside)
    return compose(part, runs, shapes, Box(0, -1, 7, 5), numbers=NUMBER_ROOM)


def opamp(part: Part) -> Symbol:
    """Return a triangle with plus and minus: an operational amplifier (IEEE 315)."""
    return _amplifier(part)


def comparator(part: Part) -> Symbol:
    """Return an amplifier's triangle with a step in it: a comparator.

    The diamond over a line says, by IEC 60617, that the output can only pull down; a
    push-pull one has none.
    """
    x, y, half = 2.9, 2.0, 0.5
    step = lead(
        (x - half, y + half), (x, y + half), (x, y - half), (x + half, y - half)
    )
    if PUSH_PULL in part.variant:
        return _amplifier(part, step)
    diamond = outline((4.4, 1.65), (4.7, 1.95), (4.4, 2.25), (4.1, 1.95), line=0.12)
    return _amplifier(part, step, diamond, lead((4.1, 2.4), (4.7, 2.4)))


def driver(part: Part) -> Symbol:
    """Return a buffer's triangle (IEC 60617), a ring at its output where it inverts.

    A driver with more pins than one of each stands as a box.
    """
    if not part.pins.keys() <= {"in", "out", "gnd", "vcc"}:
        return box(part)
    inverts = "inverting" in part.variant
    end: Point = (5.5, 2) if inverts else (5, 2)
    runs = (
        run("in", Side.LEFT, (0, 2), (1, 2)),
        run("out", Side.RIGHT, (7, 2) if inverts else (6, 2), end),
        run("vcc", Side.UP, (3, 0), (3, 1)),
        run("gnd", Side.DOWN, (3, 4), (3, 3)),
    )
    shapes: list[Shape] = [outline((1, 0), (1, 4), (5, 2))]
    shapes += [Circle((5.25, 2), 0.25)] if inverts else []
    return compose(
        part, runs, shapes, Box(0, 0, 7 if inverts else 6, 4), numbers=NUMBER_ROOM
    )


def hall(part: Part) -> Symbol:
    """Return a box with a crossed plate in its corner: a Hall sensor (IEC 60617)."""
    plain = box(part)
    left = min(shape[0] for shape in _corners(plain))
    top = min(shape[1] for shape in _corners(plain))
    return plain._replace(shapes=(*plain.shapes, *magnet((left + 0.9, top + 0.9))))


def _corners(symbol: Symbol) -> tuple[Point, ...]:
    """Return the corners of a box's rectangle, which is its first shape."""
    return getattr(symbol.shapes[0], "points", ())
