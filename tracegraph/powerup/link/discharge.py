"""How long a capacitor keeps its charge: formulas, no section."""

from collections.abc import Callable
from math import exp, inf, log, sqrt
from typing import NamedTuple

HALVINGS = 60  # of a time that is searched: to the last digit
ALIKE = 1e-9  # part by which two time constants differ that are one


class Held(NamedTuple):
    """Two capacitors in series, each with what lies across it, and across both.

    Attributes:
        farads: Each capacitance, from plus to minus.
        ohms: What lies across each; infinite where nothing does.
        across: What lies across both, beside.
    """

    farads: tuple[float, float]
    ohms: tuple[float, float]
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
    """Return when two capacitors in series have fallen to `end` volts together.

    They begin as their resistors part the volts. With G the conductances over the
    capacitances, dV/dt = -G V: their sum is two exponentials, and falls all the time.
    """
    if start <= end:
        return 0.0
    total = _total(held, start)
    if total is None or total(inf) > end:
        return inf
    late = 1.0
    while total(late) > end:
        late *= 2
    early = 0.0
    for _ in range(HALVINGS):
        middle = (early + late) / 2
        early, late = (middle, late) if total(middle) > end else (early, middle)
    return late


def _total(held: Held, start: float) -> Callable[[float], float] | None:
    """Return the volts across both as they fall; None where nothing leads away."""
    (c1, c2), (g1, g2) = held.farads, (1 / ohms for ohms in held.ohms)
    both = 1 / held.across
    v1, v2 = split(held, start)
    trace = (g1 + both) / c1 + (g2 + both) / c2
    product = (g1 * g2 + (g1 + g2) * both) / (c1 * c2)
    if not trace:
        return None
    apart = sqrt(max(trace**2 - 4 * product, 0.0))
    fast = (trace + apart) / 2
    slow = product / fast
    slope = -(g1 * v1 + both * start) / c1 - (g2 * v2 + both * start) / c2
    if apart <= ALIKE * trace:  # one time constant
        return lambda t: start * exp(-fast * t)
    lasting = (slope + fast * start) / (fast - slow)
    return lambda t: (
        (start - lasting) * exp(-fast * t) + lasting * (exp(-slow * t) if slow else 1.0)
    )


def split(held: Held, start: float) -> tuple[float, float]:
    """Return what stands across each capacitor at the start, at rest.

    Their resistors part the volts; without any, their charges are equal.
    """
    (c1, c2), (r1, r2) = held.farads, held.ohms
    share = r1 / (r1 + r2) if max(r1, r2) < inf else c2 / (c1 + c2)
    return start * share, start * (1 - share)
