"""Symbols of what fires at a gate or holds a reference: thyristor, triac, shunt regulator.

Their meaning is that of IEC 60617 (section 05), from memory.
"""

from tracegraph.draw.shapes import Box
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.ink import bar, lead, solid, three_ended
from tracegraph.stage.part import Part

_TOP, _FOOT = 0.4, 1.6


def scr(part: Part) -> Symbol:
    """Return a diode with a gate at its cathode: a thyristor (IEC 60617)."""
    shapes = (
        solid((2.2, _TOP), (3.8, _TOP), (3, _FOOT)),
        bar((2.2, _FOOT), (3.8, _FOOT)),
        lead((2.2, 2), (2.6, _FOOT)),
    )
    inner = ((2.2, 2.0), (3.0, _TOP), (3.0, _FOOT))
    return three_ended(part, ("g", "a", "k"), inner, shapes, Box(2.0, 0.2, 4.0, 2.2))


def triac(part: Part) -> Symbol:
    """Return two thyristors head to tail with one gate: a triac (IEC 60617).

    The gate stands at main terminal 1, the lower one.
    """
    left, middle, right = 2.0, 3.0, 4.0
    shapes = (
        bar((left, _TOP), (right, _TOP)),
        bar((left, _FOOT), (right, _FOOT)),
        solid((left, _TOP), (middle, _TOP), ((left + middle) / 2, _FOOT)),
        solid((middle, _FOOT), (right, _FOOT), ((middle + right) / 2, _TOP)),
        lead((1.9, 2), (2.3, _FOOT)),
    )
    inner = ((1.9, 2.0), (3.0, _TOP), (3.0, _FOOT))
    body = Box(1.8, 0.2, 4.2, 2.2)
    return three_ended(part, ("g", "mt2", "mt1"), inner, shapes, body)


def shunt_regulator(part: Part) -> Symbol:
    """Return a breakdown diode with a third lead: a shunt regulator, cathode up.

    IEC 60617 has none of its own; the third lead is the reference that sets where the
    breakdown lies (IEEE 315 practice).
    """
    shapes = (
        solid((2.2, 2.75), (3.8, 2.75), (3, 1.3)),
        bar((1.9, 1.7), (2.2, 1.3), (3.8, 1.3), (4.1, 0.9)),
    )
    inner = ((2.65, 2.0), (3.0, 1.3), (3.0, 2.75))
    return three_ended(
        part, ("ref", "k", "a"), inner, shapes, Box(1.8, 0.75, 4.25, 2.9)
    )
