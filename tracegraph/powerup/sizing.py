"""What to set and what to take: discharge resistor, lamp, current limit, bootstrap."""

from math import floor, inf, log10
from typing import NamedTuple

from tracegraph.powerup.link.discharge import energy, seconds_to
from tracegraph.powerup.link.record import METER
from tracegraph.values.preferred import steps

WATTS = (5.0, 10.0, 25.0, 50.0, 100.0)  # wire-wound resistors as they are sold
OVERLOAD = 5.0
"""Times its rating that a wire-wound resistor bears for five seconds: a short-time
overload test as in data sheets (from memory)."""
OVERLOAD_SECONDS = 5.0
SLOW = 2.0  # seconds, the longest time constant that a hand holds two clips through
AMPERES = 0.5  # at the first touch: no spark worth the name
LAMPS = (40.0, 60.0, 100.0, 150.0, 200.0, 300.0)
IDLE = 10.0  # times the idle draw that a lamp has: then it stays dark
FLASH = 1.0  # seconds, the time constant of the link behind a lit lamp
LEAST = 0.02  # amperes, the least limit that a bench supply is set to
CHIP = 5e-3  # amperes that a chip takes by itself: common practice, no source
AGAIN = 2.0  # times what is computed: tolerances, and what is not in the file


class Resistor(NamedTuple):
    """A resistor to discharge a link through.

    Attributes:
        ohms: Its value, of E6.
        watts: Its rating.
        peak: Watts at the first touch.
        amperes: Current at the first touch.
        seconds: Until ten volts are left.
        joules: What it takes up.
    """

    ohms: float
    watts: float
    peak: float
    amperes: float
    seconds: float
    joules: float


def discharge_resistor(farads: float, volts: float) -> Resistor | None:
    """Return a resistor that empties a capacitor in seconds and bears it, or None.

    The smallest rating for which some value keeps the peak power V^2 / R and the
    energy C V^2 / 2 within a short overload, and the time constant R C short.
    """
    stored = energy(farads, volts)
    for watts in WATTS:
        least = max(volts**2 / (OVERLOAD * watts), volts / AMPERES)
        ohms = _at_least(least)
        bears = stored <= OVERLOAD * OVERLOAD_SECONDS * watts
        if bears and ohms * farads <= SLOW:
            seconds = seconds_to(ohms, farads, volts, METER)
            peak = volts**2 / ohms
            return Resistor(ohms, watts, peak, volts / ohms, seconds, stored)
    return None


def _at_least(ohms: float) -> float:
    """Return the least value of E6 that is not under this one."""
    decade = 10.0 ** floor(log10(ohms))
    values = [float(f"{step * decade:.6g}") for step in (*steps("E6"), 10.0)]
    return next(one for one in values if one >= ohms * (1 - 1e-9))


def series_lamp(rms: float, idle: float, farads: float) -> float | None:
    """Return the watts of a lamp in the mains lead, or None where none is enough.

    It shall stay dark at the idle draw, and fill the link within seconds: behind the
    lit filament, R = V^2 / P, the link's time constant is C V^2 / P.

    Args:
        rms: Volts of the mains.
        idle: Watts that the section takes with its power device out.
        farads: What the link holds at most.
    """
    wanted = max(IDLE * idle, rms**2 * farads / FLASH)
    return next((lamp for lamp in LAMPS if lamp >= wanted), None)


def current_limit(computed: float, chips: int) -> float:
    """Return the current limit to set, in amperes, rounded up to two steps a decade.

    Args:
        computed: What the rails carry in the worst state.
        chips: Packages whose own current is not in that figure.

    >>> current_limit(0.0145, 1), current_limit(0.0, 0)
    (0.05, 0.02)
    """
    wanted = max(AGAIN * (computed + CHIP * chips), LEAST)
    decade = 10.0 ** floor(log10(wanted))
    values = (float(f"{step * decade:.3g}") for step in (1, 2, 3, 5, 7, 10))
    return next(one for one in values if one >= wanted * (1 - 1e-9))


def filling_seconds(farads: float, volts: float, amperes: float) -> float:
    """Return how long a supply in its limit fills a capacitor: t = C V / I."""
    return farads * volts / amperes


def bootstrap_charge(gate: float, leak: float, seconds: float) -> float:
    """Return what a bootstrap capacitor gives in a period: Qg + I t.

    The gate's charge once, and all that leaks (gate bleeder, the driver's own
    current) as long as the high side is on (as in application notes of half-bridge
    drivers; from memory).
    """
    return gate + leak * seconds


def bootstrap_farads(charge: float, droop: float) -> float:
    """Return the least bootstrap capacitance: C >= Q / dV.

    >>> round(bootstrap_farads(100e-9, 0.5) * 1e9)
    200
    """
    return charge / droop if droop > 0 else inf


def meter_rating(volts: float) -> float | None:
    """Return the volts that meter, leads and clips are made for; None over all of them.

    The usual ratings of measurement categories (IEC 61010-1; from memory).
    """
    return next((one for one in (300.0, 600.0, 1000.0) if one >= volts), None)
