"""How well displays fit hypotheses: one Gaussian for all numbers, the rest as chances.

Readings of one part share its parameters, so they are not multiplied one by one: the
mean is what the middle specimen shows, the covariance what the parameters and the
meter spread. A slip of the probe keeps a small chance in every reading.
"""

from collections.abc import Sequence
from math import log, pi, sqrt
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.legs.predict import (
    EVEN,
    LEAST_OHMS,
    MOST_OHMS,
    Predicted,
    below,
)
from tracegraph.diagnose.legs.taken import SHORT_VOLTS, Taken
from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.circuit import Floats
from tracegraph.stage.reading import Mode, Shown

SLIP = 0.005  # chance that one reading is wrong; common practice, no source
UNREST = 0.0007  # volts: a finger's warmth between two readings, contact, noise
OHMS_FOLDS = log(1e8)  # evenly in the logarithm: what a slip in ohms may show
NEVER = -1e3  # a logarithm of nothing


class Noise(NamedTuple):
    """What the meter adds to a diode display: shared by all readings, and its own."""

    shared: Floats
    own: Floats


def noise(scale: Scale, mean: Floats, resolution: float = 0.0) -> Noise:
    """Return the meter's standard deviations at some displays.

    A meter's gain and offset are the same in all readings of a minute.
    """
    step = max(scale.step, resolution)
    shared = EVEN * (scale.accuracy * np.abs(mean) + scale.digits * scale.step)
    own = np.full_like(mean, sqrt(UNREST**2 + (0.5 * scale.step) ** 2 + step**2 / 12))
    return Noise(shared, own)


def fit(
    told: Sequence[Predicted], readings: Sequence[Taken], profile: Profile
) -> Floats:
    """Return the logarithm of every cell's likelihood.

    Args:
        told: What the cells show, reading by reading.
        readings: What was shown.
        profile: The meter.
    """
    cells = len(told[0].mean)
    total = np.zeros(cells)
    (scale,) = profile.scales(Mode.DIODE)
    volts: list[tuple[Predicted, Taken]] = []
    ohms: list[tuple[Predicted, Taken]] = []
    for one, reading in zip(told, readings, strict=True):
        if reading.step.mode is Mode.OHMS:
            if isinstance(reading.shown, Shown) or reading.shown >= MOST_OHMS:
                total += np.log((1 - SLIP) * one.blank + SLIP / 2)
            else:
                ohms.append((one, reading))
        elif isinstance(reading.shown, Shown):
            total += _word(one, reading.shown, scale)
        else:
            volts.append((one, reading))
    if volts:
        total += _volts(volts, scale)
    if ohms:
        total += _ohms(ohms)
    broken = np.any([np.isnan(one.mean) for one in told], axis=0)
    return np.where(broken, -np.inf, total)


def opens(told: Predicted, scale: Scale) -> Floats:
    """Return the chance that a diode display is OL."""
    shared, own = noise(scale, np.minimum(told.mean, 10.0))
    spread = np.sqrt((told.root**2).sum(axis=1) + shared**2 + own**2)
    over = 1 - below(scale.full, told.mean, spread)
    return np.asarray(told.blank + (1 - told.blank) * over)


def _word(told: Predicted, shown: Shown, scale: Scale) -> Floats:
    chance = opens(told, scale)
    if shown is not Shown.OPEN:
        _, own = noise(scale, told.mean)
        spread = np.sqrt((told.root**2).sum(axis=1) + own**2)
        chance = (1 - told.blank) * below(SHORT_VOLTS, told.mean, spread)
    return np.asarray(np.log((1 - SLIP) * chance + SLIP / 2))


def _ohms(numbers: Sequence[tuple[Predicted, Taken]]) -> Floats:
    """Return the joint fit of displays in ohms: one leak is seen over several pairs."""
    mean, root, own, blank = (
        np.stack([one[k] for one, _ in numbers], axis=1) for k in range(4)
    )
    seen = np.array([log(max(float(one.shown), LEAST_OHMS)) for _, one in numbers])
    covariance = root @ root.transpose(0, 2, 1)
    at = np.arange(len(numbers))
    covariance[:, at, at] += own**2
    shown = np.where(blank >= 1.0, NEVER, 0.0)  # no path at all
    return joint(seen - mean, covariance, shown, -log(2 * OHMS_FOLDS))


def _volts(numbers: Sequence[tuple[Predicted, Taken]], scale: Scale) -> Floats:
    """Return the joint fit of diode displays, any one of which may be a slip."""
    mean = np.stack([one.mean for one, _ in numbers], axis=1)
    root = np.stack([one.root for one, _ in numbers], axis=1)
    blank = np.stack([one.blank for one, _ in numbers], axis=1)
    seen = np.array([float(reading.shown) for _, reading in numbers])
    resolution = np.array([reading.resolution for _, reading in numbers])
    shared, own = noise(scale, mean)
    covariance = root @ root.transpose(0, 2, 1) + shared[:, :, None] * shared[:, None]
    extra = np.maximum(resolution - scale.step, 0.0) ** 2 / 12
    at = np.arange(len(numbers))
    covariance[:, at, at] += own**2 + extra
    return joint(
        seen - mean, covariance, np.log1p(-np.minimum(blank, 0.999)), slipped(scale)
    )


def slipped(scale: Scale) -> float:
    """Return the logarithm of the density of a slip's volts; half of slips show OL."""
    return -log(2 * scale.full)


def joint(off: Floats, covariance: Floats, shown: Floats, slips: float) -> Floats:
    """Return the fit of displays that are off by so much, one slip allowed.

    Args:
        off: Display less mean, (cells, readings).
        covariance: Of the displays, (cells, readings, readings).
        shown: Logarithm of the chance that a number is shown at all.
        slips: Logarithm of the density of what a slip shows.
    """
    count = off.shape[1]
    slip = log(SLIP) + slips
    good = log(1 - SLIP)
    terms = [gauss(off, covariance) + (shown + good).sum(axis=1)]
    for k in range(count):
        kept = [j for j in range(count) if j != k]
        part = gauss(off[:, kept], covariance[np.ix_(range(len(off)), kept, kept)])
        terms.append(part + (shown[:, kept] + good).sum(axis=1) + slip)
    return np.asarray(np.logaddexp.reduce(terms, axis=0))


def gauss(off: Floats, covariance: Floats) -> Floats:
    """Return the logarithm of a normal density, one a cell."""
    count = off.shape[1]
    if not count:
        return np.zeros(len(off))
    _, size = np.linalg.slogdet(covariance)
    solved = np.linalg.solve(covariance, off[:, :, None])[:, :, 0]
    return np.asarray(-((off * solved).sum(axis=1) + size + count * log(2 * pi)) / 2)
