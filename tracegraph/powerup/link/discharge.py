"""How long a capacitor keeps its charge: formulas, no section."""

from collections.abc import Sequence
from math import exp, inf, log
from typing import NamedTuple

FINEST = 40  # steps in the shortest time constant: good to a tenth of a per cent


class Held(NamedTuple):
    """Capacitors in series, each with what lies across it, and across all of them.

    Attributes:
        farads: Each capacitance, from plus to minus.
        ohms: What lies across each; infinite where nothing does.
        across: What lies across all of them, beside.
    """

    farads: tuple[float, ...]
    ohms: tuple[float, ...]
    across: float = inf


def energy(farads: float, volts: float) -> float:
    """Return the energy in a capacitor: C V^2 / 2.

    >>> round(energy(680e-6, 400.0), 3)
    54.4
    """
    return farads * volts**2 / 2


def seconds_to(ohms: float, farads: float, start: float, end: float) -> float:
    """Return when a capacitor has fallen to `end` volts: R C ln(V0 / V).

    >>> round(seconds_to(100e3, 470e-6, 325.0, 60.0), 1)
    79.4
    """
    return ohms * farads * log(start / end) if start > end else 0.0


def left_after(ohms: float, farads: float, start: float, seconds: float) -> float:
    """Return the volts left after some seconds: V0 exp(-t / RC).

    >>> round(left_after(1e6, 1e-6, 325.0, 1.0), 1)
    119.6
    """
    return start * exp(-seconds / (ohms * farads)) if ohms < inf else start


def series_seconds(held: Held, start: float, end: float) -> float:
    """Return when capacitors in series have fallen to `end` volts together.

    They begin as their resistors part the volts. Two time constants have no formula
    for the time, so it is run in steps (trapezoidal rule).
    """
    volts = split(held, start)
    if start <= end:
        return 0.0
    step = _step(held)
    if step == inf:
        return inf
    seconds, total = 0.0, sum(volts)
    while True:
        volts = _stepped(held, volts, step)
        before, total = total, sum(volts)
        if total >= before * (1 - 1e-12):
            return inf  # nothing leads its charge away
        if total <= end:
            return seconds + step * (before - end) / (before - total)
        seconds += step


def split(held: Held, start: float) -> tuple[float, ...]:
    """Return what stands across each capacitor at the start, at rest.

    Their resistors part the volts; without any, their charges are equal.
    """
    if all(ohms < inf for ohms in held.ohms):
        total = sum(held.ohms)
        return tuple(start * ohms / total for ohms in held.ohms)
    total = sum(1 / farads for farads in held.farads)
    return tuple(start / farads / total for farads in held.farads)


def _step(held: Held) -> float:
    """Return a step in time that is short beside every time constant."""
    whole = 1 / sum(1 / farads for farads in held.farads)
    own = [r * c for r, c in zip(held.ohms, held.farads, strict=True)]
    found = [tau for tau in (*own, held.across * whole) if tau < inf]
    return min(found) / FINEST if found else inf


def _stepped(held: Held, volts: Sequence[float], step: float) -> tuple[float, ...]:
    """Return the volts one step later, by the trapezoidal rule, solved by repeating."""
    later = tuple(volts)
    for _ in range(12):  # a fortieth of a time constant: twelve rounds are exact
        middle = [(x + y) / 2 for x, y in zip(volts, later, strict=True)]
        common = sum(middle) / held.across
        later = tuple(
            x - step * (m / ohms + common) / farads
            for x, m, ohms, farads in zip(
                volts, middle, held.ohms, held.farads, strict=True
            )
        )
    return later
