"""Symbols of what conducts along a line: resistors, their relatives, fuse and link.

Their meaning is that of IEC 60617 (section 04 and 07), from memory.
"""

from tracegraph.draw.shapes import Arc, Box, Circle, Shape, Side, Stroke, Text
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.ink import (
    arrow,
    bar,
    compose,
    lead,
    oblong,
    run,
    sign,
    two_ended,
)
from tracegraph.stage.part import Part

_LEFT, _RIGHT, _HALF = 0.9, 3.1, 0.5
_RECTANGLE = Box(_LEFT, -_HALF, _RIGHT, _HALF)
_BODY = Box(0.8, -0.6, 3.2, 0.6)


def _resistor(part: Part, *more: Shape, body: Box = _BODY) -> Symbol:
    return two_ended(part, _LEFT, _RIGHT, (oblong(_RECTANGLE), *more), body)


def resistor(part: Part) -> Symbol:
    """Return a plain rectangle: a resistor by IEC 60617."""
    return _resistor(part)


def shunt(part: Part) -> Symbol:
    """Return a rectangle with two taps: by IEC 60617 a resistor for measuring current.

    The taps stand for the terminals of the voltage that is measured across it.
    """
    taps = (lead((x, -_HALF), (x, -0.95)) for x in (1.35, 2.65))
    return _resistor(part, *taps, body=Box(0.8, -1.05, 3.2, 0.6))


def fusible(part: Part) -> Symbol:
    """Return a resistor with a melting wire in it: opens when it is overloaded.

    IEC 60617 has none of its own; this joins its resistor and the wire of a fuse.
    """
    wave = Arc((1.2, 0), (2, 0), 0.5), Arc((2, 0), (2.8, 0), 0.5, clockwise=False)
    ends = lead((_LEFT, 0), (1.2, 0)), lead((2.8, 0), (_RIGHT, 0))
    return _resistor(part, *wave, *ends)


def fuse(part: Part) -> Symbol:
    """Return a rectangle with the wire running through: a fuse by IEC 60617."""
    return two_ended(part, 2, 2, (oblong(_RECTANGLE),), _BODY)


def link(part: Part) -> Symbol:
    """Return two terminals with a strap between them: a closed link by IEC 60617."""
    ends = (Circle((x, 0), 0.22) for x in (1.1, 2.9))
    strap = bar((1.32, 0), (2.68, 0))
    return two_ended(part, 0.88, 3.12, (*ends, strap), Box(0.8, -0.4, 3.2, 0.4))


def _slant(*words: Text) -> tuple[Shape, ...]:
    """Return the line that says what changes the resistance by itself, with its sign."""
    return (lead((0.7, 0.95), (1.35, 0.95), (2.9, -0.95)), *words)


def ntc(part: Part) -> Symbol:
    """Return a resistor that falls with temperature: slanted line and minus sign.

    By IEC 60617 the line with a foot says that the change comes by itself; theta is
    the temperature that causes it, and its sign the way that the ohms go.
    """
    return _resistor(part, *_slant(sign("-ϑ", (0.95, -1.3), 1.0)), body=_WORDED)


def ptc(part: Part) -> Symbol:
    """Return a resistor that rises with temperature: as an NTC, with a plus sign."""
    return _resistor(part, *_slant(sign("+ϑ", (0.95, -1.3), 1.0)), body=_WORDED)


def varistor(part: Part) -> Symbol:
    """Return a resistor that depends on its voltage: slanted line and U (IEC 60617)."""
    return _resistor(part, *_slant(sign("U", (1.0, -1.15), 1.0)), body=_WORDED)


_WORDED = Box(0.2, -1.75, 3.3, 1.1)


def trimmer(part: Part) -> Symbol:
    """Return a resistor with a moving contact, set once: IEC 60617's preset wiper.

    The arrow is the wiper; the bar across it says preset, not turned in use.
    """
    runs = (
        run("1", Side.LEFT, (0, 0), (_LEFT, 0)),
        run("2", Side.DOWN, (2, 2), (2, _HALF + 0.1)),
        run("3", Side.RIGHT, (4, 0), (_RIGHT, 0)),
    )
    wiper = arrow((2, 2), (2, _HALF + 0.05))
    preset = lead((1.55, 1.4), (2.45, 1.4))
    return compose(
        part, runs, (oblong(_RECTANGLE), wiper, preset), Box(0.8, -0.6, 3.2, 1.6)
    )


def heater(part: Part) -> Symbol:
    """Return a rectangle with bars across: a heating element by IEC 60617.

    It stands for every load that is nothing but ohms.
    """
    bars = (Stroke(((x, -_HALF), (x, _HALF)), 0.12) for x in (1.45, 2.0, 2.55))
    return _resistor(part, *bars)
