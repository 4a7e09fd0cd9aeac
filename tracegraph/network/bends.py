"""How far port voltages move: alone behind a source, and in one step."""

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.network.limits import Knees

LEAST = -300.0  # exponent under which e**x is as good as zero
BELOW = 4.0  # folds under its knee at which a port begins to bend


def alone(knees: Knees, amps: float, offered: Floats, ohms: Floats) -> Floats:
    """Return port voltages, each port alone behind a source of its own.

    Args:
        knees: Voltages at which the ports carry `amps`, like `offered` or broadcast.
        amps: Current at the knees, the most that will flow.
        offered: Open-circuit voltages.
        ohms: What they stand behind, likewise.
    """
    high, fold, low, low_fold = knees
    ahead = offered - _drop(offered - high, fold, ohms * amps)
    back = offered + _drop(-offered - low, low_fold, ohms * amps)
    # an idle port bends with its slope already: not under its first fold
    ahead = np.clip(ahead, np.minimum(offered, fold), high)
    back = np.clip(back, -low, np.maximum(offered, -low_fold))
    return np.asarray(np.where(offered > 0, ahead, back))


def _drop(over: Floats, fold: Floats, volts: Floats) -> Floats:
    """Return the source voltage that an exponential does not let through.

    With w the drop in folds, w + ln w = over / fold + ln(volts / fold): w is Wright's
    omega function, here from its two asymptotes by one step of Newton's method.
    """
    level = np.maximum(over / fold + np.log(volts / fold), LEAST)
    small = np.exp(np.minimum(level, 1.0))
    start = np.where(
        level > 1.0,
        level - np.log(np.maximum(level, 1.0)),
        small / (1 + 0.6 * small),
    )
    return np.asarray(fold * start * (1 + level - np.log(start)) / (1 + start))


def limited(
    knees: Knees, amps: float, ohms: Floats, wanted: Floats, before: Floats
) -> Floats:
    """Return port voltages to linearise at next.

    Past its knee a port goes as far as the straight line's current says, which is the
    logarithm of the step; a port that was off turns on as if it were alone.

    Args:
        knees: Where the ports bend, (ports, 1).
        amps: Current at the knees.
        ohms: What the ports stand behind, (ports, 1).
        wanted: Where Newton's method would go, (ports, readings).
        before: Where they stand.
    """
    volts = wanted.copy()
    begin, end = knees.high - BELOW * knees.fold, BELOW * knees.low_fold - knees.low
    over = (wanted > begin) & (wanted > before)
    under = (wanted < end) & (wanted < before)
    for side, sign in ((over, 1.0), (under, -1.0)):
        port, reading = np.nonzero(side)
        if port.size:
            own = Knees(*(part[port, 0] for part in knees))
            one = own if sign > 0 else Knees(own.low, own.low_fold, own.high, own.fold)
            found = _ahead(
                one,
                amps,
                ohms[port, 0],
                sign * wanted[port, reading],
                sign * before[port, reading],
            )
            volts[port, reading] = sign * found
    return volts


def _ahead(
    knees: Knees, amps: float, ohms: Floats, wanted: Floats, before: Floats
) -> Floats:
    """Return voltages limited as they go up."""
    begin = knees.high - BELOW * knees.fold
    step = wanted - np.maximum(before, begin)
    further = wanted - step + knees.fold * np.log1p(step / knees.fold)
    turned_on = np.maximum(alone(knees, amps, wanted, ohms), begin)
    return np.where(before < begin, turned_on, further)
