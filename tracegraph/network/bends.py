"""How far port voltages move: alone behind a source, and in one step."""

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.network.curves import Knees

LEAST = -300.0  # exponent under which e**x is as good as zero
BELOW = 4.0  # folds under its knee at which a port begins to bend
FAINT = 12.0  # folds under its knee at which it carries nothing to speak of
MILD, WILD = -0.3, -1.05  # folds down between which the current tells where to go
LEAST_LEFT = 2e-3  # share of its current that a port keeps in one step down


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

    Past its knee a port goes, up or down, to the voltage that carries the current the
    straight line foretells; a port that was off turns on as if it were alone.

    Args:
        knees: Where the ports bend, (ports, 1).
        amps: Current at the knees.
        ohms: What the ports stand behind, (ports, 1).
        wanted: Where Newton's method would go, (ports, readings).
        before: Where they stand.
    """
    volts = wanted.copy()
    forward = np.maximum(wanted, before) > knees.high - FAINT * knees.fold
    reverse = np.minimum(wanted, before) < FAINT * knees.low_fold - knees.low
    for side, sign in ((forward, 1.0), (reverse, -1.0)):
        port, reading = np.nonzero(side)
        if port.size:
            own = knees.take(port)
            volts[port, reading] = sign * _along(
                own if sign > 0 else own.turned(),
                amps,
                ohms[port, 0],
                sign * wanted[port, reading],
                sign * before[port, reading],
            )
    return volts


def _along(
    knees: Knees, amps: float, ohms: Floats, wanted: Floats, before: Floats
) -> Floats:
    """Return voltages that go up or down along an exponential."""
    fold, begin = knees.fold, knees.high - BELOW * knees.fold
    down = (wanted - before) / fold
    steep = (down < MILD) & (down > WILD) & (before > fold)
    fallen = before + fold * np.log1p(np.clip(down, LEAST_LEFT - 1, 0.0))
    up = np.maximum(wanted - np.maximum(before, begin), 0.0)
    risen = wanted - up + fold * np.log1p(up / fold)
    on = np.maximum(alone(knees, amps, wanted, ohms), begin)
    rising = (wanted > before) & (wanted > begin)
    moved = np.where(before < begin, on, risen)
    return np.where(rising, moved, np.where(steep, fallen, wanted))
