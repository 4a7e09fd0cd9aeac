"""Symbols of diodes: alone, in pairs, and as a bridge.

Their meaning is that of IEC 60617 (section 05), from memory: the triangle points the
way that current flows, the bar is the cathode.
"""

from tracegraph.draw.shapes import Box, Pose, Shape, Side, Stroke, posed
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.ink import (
    NUMBER_ROOM,
    THIN,
    arrow,
    bar,
    compose,
    lead,
    minus,
    oblong,
    outline,
    plus,
    run,
    sign,
    solid,
    spot,
    two_ended,
)
from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.part import Part

_ANODE, _CATHODE, _HALF = 1.25, 2.75, 0.8
_BENT = 0.2  # width of a cathode with wings or hooks
_BODY = Box(1.0, -0.95, 3.0, 0.95)
_WINGED = Box(1.0, -1.1, 3.3, 1.1)


def _triangle(half: float = _HALF) -> Shape:
    return solid((_ANODE, -half), (_ANODE, half), (_CATHODE, 0))


def _straight(x: float = _CATHODE, half: float = _HALF) -> Shape:
    return bar((x, -half), (x, half))


def _winged(x: float = _CATHODE) -> Shape:
    """Return a cathode with slanted wings: it breaks down at its voltage."""
    wings = ((x + 0.42, -_HALF - 0.25), (x, -_HALF), (x, _HALF))
    return Stroke((*wings, (x - 0.42, _HALF + 0.25)), _BENT)


def _hooked(half: float = _HALF) -> Shape:
    """Return a cathode with square hooks: metal on silicon."""
    x, hook, back = _CATHODE, 0.42, 0.38
    upper = ((x + hook, -half + back), (x + hook, -half), (x, -half))
    lower = ((x, half), (x - hook, half), (x - hook, half - back))
    return Stroke((*upper, *lower), _BENT)


def _diode(part: Part, cathode: Shape, *more: Shape, body: Box = _BODY) -> Symbol:
    shapes = (_triangle(), cathode, *more)
    return two_ended(part, _ANODE, _CATHODE, shapes, body)


def diode(part: Part) -> Symbol:
    """Return a triangle and a bar: a semiconductor diode by IEC 60617."""
    return _diode(part, _straight())


def schottky(part: Part) -> Symbol:
    """Return a diode with square hooks at its bar: Schottky (IEEE 315)."""
    return _diode(part, _hooked(), body=Box(1.0, -0.95, 3.3, 0.95))


def zener(part: Part) -> Symbol:
    """Return a diode with slanted wings at its bar: a breakdown diode (IEEE 315)."""
    return _diode(part, _winged(), body=_WINGED)


def suppressor(part: Part) -> Symbol:
    """Return a breakdown diode, or two tip to tip where it clamps both ways.

    By IEC 60617 a two-way breakdown diode is two triangles on one winged bar.
    """
    if TWO_WAY not in part.variant:
        return zener(part)
    left = solid((0.85, -0.75), (0.85, 0.75), (2, 0))
    right = solid((3.15, -0.75), (3.15, 0.75), (2, 0))
    return two_ended(
        part, 0.85, 3.15, (left, right, _winged(2)), Box(0.7, -1.15, 3.3, 1.15)
    )


def led(part: Part) -> Symbol:
    """Return a diode with two arrows leaving it: it gives light (IEC 60617)."""
    rays: list[Shape] = []
    for x in (1.75, 2.45):
        start, tip = (x, -0.75), (x + 0.75, -1.5)
        rays += [lead(start, tip), arrow(start, tip, 0.45, 0.2)]
    return _diode(part, _straight(), *rays, body=Box(1.0, -1.65, 3.4, 0.95))


def _small(at: tuple[float, float], pose: Pose, *, hooked: bool) -> tuple[Shape, ...]:
    """Return a smaller diode whose middle lies at a point, pointing right in pose 0."""
    shapes = (_triangle(0.7), _hooked(0.7) if hooked else _straight(half=0.7))
    back = pose.point((2, 0))
    by = at[0] - back[0], at[1] - back[1]
    return tuple(posed(shape, pose, by) for shape in shapes)


def _is_schottky(part: Part) -> bool:
    return part.kind.word.endswith("schottky")


def _fork(part: Part, singles: tuple[str, str], common: str, pose: Pose) -> Symbol:
    """Return two diodes beside each other with one end in common, in one frame."""
    hooked = _is_schottky(part)
    runs = (
        run(singles[0], Side.LEFT, (0, 0), (2, 0)),
        run(singles[1], Side.LEFT, (0, 2), (2, 2)),
        run(common, Side.RIGHT, (6, 1), (4.4, 1)),
    )
    ends = (lead((2, y), (4.4, y)) for y in (0, 2))
    joint = (lead((4.4, 0), (4.4, 2)), spot((4.4, 1)))
    diodes = (shape for y in (0, 2) for shape in _small((2.8, y), pose, hooked=hooked))
    frame = oblong(Box(1, -1.2, 5, 3.2), THIN)
    shapes = (*ends, *joint, *diodes, frame)
    return compose(part, runs, shapes, Box(0, -1.3, 6, 3.3), numbers=NUMBER_ROOM)


def common_cathode(part: Part) -> Symbol:
    """Return two diodes (IEC 60617) in one package, their cathodes joined."""
    return _fork(part, ("a1", "a2"), "k", Pose(0))


def common_anode(part: Part) -> Symbol:
    """Return two diodes (IEC 60617) in one package, their anodes joined."""
    return _fork(part, ("k1", "k2"), "a", Pose(2))


def series_diodes(part: Part) -> Symbol:
    """Return two diodes (IEC 60617) in one package in a row, with their middle."""
    hooked = _is_schottky(part)
    runs = (
        run("a", Side.LEFT, (0, 0), (2, 0)),
        run("m", Side.DOWN, (4, 3), (4, 0)),
        run("k", Side.RIGHT, (8, 0), (6, 0)),
    )
    diodes = (s for x in (2.4, 5.6) for s in _small((x, 0), Pose(0), hooked=hooked))
    frame = oblong(Box(1, -1.3, 7, 1.6), THIN)
    shapes = (lead((2, 0), (6, 0)), spot((4, 0)), *diodes, frame)
    return compose(part, runs, shapes, Box(0, -1.4, 8, 3), numbers=NUMBER_ROOM)


def bridge(part: Part) -> Symbol:
    """Return a diamond with a diode in it: IEC 60617's bridge rectifier, in one frame.

    The waves are where alternating current goes in, plus and minus where direct
    current comes out; the diode inside points to plus.
    """
    runs = (
        run("~1", Side.LEFT, (0, 0), (1, 0)),
        run("~2", Side.LEFT, (0, 4), (1, 4)),
        run("+", Side.RIGHT, (8, 0), (7, 0)),
        run("-", Side.RIGHT, (8, 4), (7, 4)),
    )
    diamond = outline((4, 0.2), (5.8, 2), (4, 3.8), (2.2, 2))
    inner = (lead((2.9, 2), (5.1, 2)), *_inner_diode())
    signs = (sign("~", (1.85, 0), 1.5), sign("~", (1.85, 4), 1.5))
    poles = (*plus((6.2, 0), 0.32), minus((6.2, 4)))
    frame = oblong(Box(1, -1, 7, 5))
    shapes = (frame, diamond, *inner, *signs, *poles)
    return compose(part, runs, shapes, Box(0, -1.1, 8, 5.1), numbers=NUMBER_ROOM)


def _inner_diode() -> tuple[Shape, ...]:
    return solid((3.5, 1.5), (3.5, 2.5), (4.4, 2)), bar((4.4, 1.5), (4.4, 2.5))


def beside(at: tuple[float, float], half: float = 0.45) -> tuple[Shape, ...]:
    """Return the small upright diode beside a switch, its cathode up."""
    x, y = at
    base, tip = y + half * 0.75, y - half * 0.75
    return (
        solid((x - half, base), (x + half, base), (x, tip)),
        bar((x - half, tip), (x + half, tip)),
    )
