"""Hypotheses without a model: three plain resistances, and what fits nothing."""

from collections.abc import Sequence
from math import exp, log, pi, sqrt

from tracegraph.diagnose.legs.fit import OHMS_FOLDS, SLIP
from tracegraph.diagnose.legs.step import Way
from tracegraph.diagnose.legs.taken import Taken
from tracegraph.meter.profile import Profile
from tracegraph.stage.reading import Mode, Shown

OPEN = 0.4  # chance that a pair has no path worth showing
LEAST_VOLTS = 0.002
SAME_VOLTS = 0.004  # both ways round, of a plain resistance
SAME_PART = 0.01
BETWEEN_MODES = 0.05  # ohms against what the diode test's current makes of them


def resistive_fit(readings: Sequence[Taken], profile: Profile) -> float:
    """Return the fit of resistances between the legs: the same both ways round.

    A network of resistors is reciprocal whatever it holds, so the first reading of a
    pair may be anything and the other must agree.
    """
    known: dict[frozenset[int], float | None] = {}
    total = 0.0
    for one in readings:
        if one.step.way in {Way.PULLED_UP, Way.PULLED_DOWN}:
            total += _anything(one, profile)
            continue
        if one.step.way in {Way.JOINED_UP, Way.JOINED_DOWN}:
            total += _anything(one, profile)
            continue
        pair = frozenset((one.step.red, one.step.black))
        told = _ohms(one, profile)
        if pair not in known:
            known[pair] = told
            total += _anything(one, profile)
        else:
            total += log((1 - SLIP) * _again(one, known[pair], profile) + SLIP / 10)
    return total


def stray_fit(readings: Sequence[Taken], profile: Profile) -> float:
    """Return the fit of what has no law at all."""
    return sum(_anything(one, profile) for one in readings)


def _anything(one: Taken, profile: Profile) -> float:
    """Return the chance of a display when nothing is known."""
    if one.shown is Shown.OPEN:
        return log(OPEN)
    if isinstance(one.shown, Shown):
        return log((1 - OPEN) / 5)
    if one.step.mode is Mode.OHMS:
        return log((1 - OPEN) / OHMS_FOLDS)
    (scale,) = profile.scales(Mode.DIODE)
    volts = max(one.shown, LEAST_VOLTS)
    return log((1 - OPEN) / (volts * log(scale.full / LEAST_VOLTS)))


def _ohms(one: Taken, profile: Profile) -> float | None:
    """Return the resistance that a reading tells; None for OL."""
    if one.shown is Shown.OPEN:
        return None
    if isinstance(one.shown, Shown):
        return 0.0
    if one.step.mode is Mode.OHMS:
        return one.shown
    return one.shown / profile.scales(Mode.DIODE)[0].drive.amps


def _again(one: Taken, ohms: float | None, profile: Profile) -> float:
    """Return the chance, or density, of a reading of a resistance that is known."""
    (scale,) = profile.scales(Mode.DIODE)
    amps = scale.drive.amps
    if one.step.mode is Mode.OHMS:
        return _in_ohms(one, ohms, scale.full / amps)
    opens = ohms is None or ohms * amps > scale.full
    if isinstance(one.shown, Shown):
        return float(opens) if one.shown is Shown.OPEN else float(not opens)
    if opens:
        return 0.0
    volts = (ohms or 0.0) * amps
    return _normal(one.shown - volts, SAME_VOLTS + SAME_PART * volts)


def _in_ohms(one: Taken, ohms: float | None, limit: float) -> float:
    if ohms is None:  # more than the diode test shows, or no path
        return OPEN if one.shown is Shown.OPEN else (1 - OPEN) / OHMS_FOLDS
    if isinstance(one.shown, Shown):
        return 0.0
    del limit
    off = log(max(one.shown, 0.05) / max(ohms, 0.05))
    return _normal(off, BETWEEN_MODES + 0.5 / max(ohms, 0.5))


def _normal(off: float, deviation: float) -> float:
    return exp(-((off / deviation) ** 2) / 2) / (deviation * sqrt(2 * pi))
