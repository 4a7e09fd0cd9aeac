"""How far port voltages move: alone behind a source, and in one step."""

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.network.curves import Knees

LEAST = -300.0  # exponent under which e**x is as good as zero
BELOW = 4.0  # folds under its knee at which a port begins to bend
FAINT = 12.0  # folds under its knee at which it carries nothing to speak of
MILD, WILD = -0.3, -1.05  # folds down between which the current tells where to go
CLIMB = 8.0  # folds that a port which turns on goes at least
OFF = 16.0  # folds under its knee at which the source behind it is all there is
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


def begun(knees: Knees, amps: float, offered: Floats, ohms: Floats) -> Floats:
    """Return port voltages to begin at, each port alone, straight where it is off.

    Args:
        knees: Where the ports carry `amps`, (ports, 1).
        amps: Current at the knees.
        offered: Open-circuit voltages, (ports, readings).
        ohms: What they stand behind, likewise.
    """
    volts = offered.copy()
    on = offered > np.maximum(knees.high - OFF * knees.fold, knees.fold)
    on |= offered < np.minimum(OFF * knees.low_fold - knees.low, -knees.low_fold)
    port, reading = np.nonzero(on)
    if port.size:
        stood = offered[port, reading], ohms[port, reading]
        volts[port, reading] = alone(knees.take(port), amps, *stood)
    return volts


def limited(
    knees: Knees, amps: float, ohms: Floats, wanted: Floats, before: Floats
) -> Floats:
    """Return port voltages to linearise at next.

    Past its knee a port goes, up or down, to the voltage that carries the current the
    straight line foretells; a port that was off turns on as if it were alone.

    Args:
        knees: Where the ports carry `amps`, (ports, 1).
        amps: Current at the knees.
        ohms: What the ports stand behind, (ports,).
        wanted: Where Newton's method would go, (ports, readings).
        before: Where they stand.
    """
    volts = wanted.copy()
    _bend(volts, knees, amps, ohms, before)
    turned = np.negative(volts)
    _bend(turned, knees.turned(), amps, ohms, -before)
    return np.negative(turned, out=turned)


def _bend(
    volts: Floats, knees: Knees, amps: float, ohms: Floats, before: Floats
) -> None:
    """Take port voltages back to where their exponentials lead."""
    rises = volts > before
    risen = np.nonzero(rises & (volts > knees.high - BELOW * knees.fold))
    fallen = np.nonzero(~rises & (before > knees.high - FAINT * knees.fold))
    if risen[0].size:
        own, wanted = knees.take(risen[0]), volts[risen]
        volts[risen] = _up(own, amps, ohms[risen[0]], wanted, before[risen])
    if fallen[0].size:
        volts[fallen] = _down(knees.take(fallen[0]), volts[fallen], before[fallen])


def _up(
    knees: Knees, amps: float, ohms: Floats, wanted: Floats, before: Floats
) -> Floats:
    """Return voltages limited on their way up."""
    begin = knees.high - BELOW * knees.fold
    step = wanted - np.maximum(before, begin)
    volts = wanted - step + knees.fold * np.log1p(step / knees.fold)
    off = np.flatnonzero(before < begin)
    if off.size:
        own = Knees(*(side[off] for side in knees))
        least = np.minimum(np.maximum(before[off], 0.0) + CLIMB * own.fold, begin[off])
        volts[off] = np.maximum(alone(own, amps, wanted[off], ohms[off]), least)
    return volts


def _down(knees: Knees, wanted: Floats, before: Floats) -> Floats:
    """Return voltages on their way down, in current where that tells where to go."""
    step = (wanted - before) / knees.fold
    steep = (step < MILD) & (step > WILD) & (before > knees.fold)
    kept = np.log1p(np.clip(step, LEAST_LEFT - 1, 0.0))
    return np.where(steep, before + knees.fold * kept, wanted)
