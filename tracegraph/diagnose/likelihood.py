"""How likely readings are, all together, if one thing is wrong.

Readings share their parts: their displays are one Gaussian, with the covariance that
the spread of healthy parts gives them (`S D S'`) beside the meter's own error; what
lies beyond a display's limit goes to OL. Every reading may be a slip of the probe,
which shows anything that a meter can. Volts in a diode test and of a live net, else
logarithms of ohms.
"""

from collections.abc import Sequence
from math import hypot, log, log1p, pi, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.circuit import Floats
from tracegraph.stage.reading import Mode, Reading, Shown

LOG_2PI = log(2 * pi)
ROOT_3 = sqrt(3)
SLIPPED_OPEN = 0.35  # of slips so many show OL: a tip off its pad
DECADES = log(6e8)  # of ohms over which a slip's number is spread: 0.1 ohm to 60 M
DIODE_VOLTS = 2.0  # likewise
BEEPS = 0.5
MOST_VOLTS = 600.0  # of a slip on a live board: even by ratios above a volt, either way
TIP_OFF = 0.05  # volts within which a tip off its pad shows nothing
# How a transistor saturates and a diode drops is told from few figures: what a live net
# shows beside them. Common practice, no source.
MODEL_VOLTS = 0.05
SLIPS = 3  # readings that are taken for slips at once
NEVER = 1e-4  # chance that a display is not what a sure prediction says
LEAST_LOG = -60.0


class Seen(NamedTuple):
    """A reading as it is weighed.

    Attributes:
        number: As it is worked on; NaN where the display is no number.
        over: For OL, the display above which it is shown, as it is worked on; for a
            beep or none, its threshold; else NaN.
        sounds: 1 for a beep, -1 for none, 0 for a display.
        deviation: Standard deviation of the meter's own error, as it is worked on.
        gain: That of what is common to a range: its accuracy, as it is worked on.
        range: Which range it was read on; readings of one share its gain.
        slipped: Logarithm of how likely a slip shows this (a density for a number).
    """

    number: float
    over: float
    sounds: int
    deviation: float
    slipped: float
    gain: float = 0.0
    range: str = ""


def seen(reading: Reading, profile: Profile) -> Seen:
    """Return a reading as it is weighed."""
    mode, nan = reading.mode, float("nan")
    if reading.shown in {Shown.BEEP, Shown.SILENT}:
        limit = profile.beep.below if profile.beep else 50.0
        sounds = 1 if reading.shown is Shown.BEEP else -1
        return Seen(nan, log(limit), sounds, 0.3, log(BEEPS))
    scales = profile.scales(mode)
    if reading.shown is Shown.OPEN or reading.at_least:
        over = scales[-1].full
        if not isinstance(reading.shown, Shown):
            over = min(over, float(reading.shown))
        return Seen(nan, measure(over, mode), 0, 0.0, log(SLIPPED_OPEN))
    value = float(reading.shown)
    scale = next((one for one in scales if abs(value) <= one.full), scales[-1])
    least = max(abs(value), scale.step)
    off, gain = digits_of(scale, reading.resolution), least * scale.accuracy / ROOT_3
    place = f"{mode} {scales.index(scale)}"
    if mode is Mode.VOLTS:
        slipped = log(slipped_volts(value))
        return Seen(value, nan, 0, hypot(off, MODEL_VOLTS), slipped, gain, place)
    if mode is Mode.DIODE:
        slipped = log((1 - SLIPPED_OPEN) / DIODE_VOLTS)
        return Seen(value, nan, 0, off, slipped, gain, place)
    slipped = log((1 - SLIPPED_OPEN) / DECADES)
    return Seen(log(least), nan, 0, off / least, slipped, gain / least, place)


def slipped_volts(value: float) -> float:
    """Return how likely a slip on a live board shows so much, per volt."""
    off = SLIPPED_OPEN / (2 * TIP_OFF) if abs(value) <= TIP_OFF else 0.0
    return off + (1 - SLIPPED_OPEN) / (2 * log1p(MOST_VOLTS) * (1 + abs(value)))


def in_volts(mode: Mode) -> bool:
    """Return whether displays are worked on as they are: volts, which may be negative."""
    return mode in {Mode.DIODE, Mode.VOLTS}


def digits_of(scale: Scale, resolution: float) -> float:
    """Return the standard deviation of a display's last digits, rounding among it.

    The digits of a data sheet are a limit; an even spread up to it has a third of its
    square as variance.
    """
    step = max(resolution, scale.step)
    return sqrt((scale.digits * scale.step) ** 2 / 3 + step**2 / 12)


def gains(readings: Sequence[Seen]) -> Floats:
    """Return the covariance that readings of one range owe to its accuracy.

    A range reads all its values too high or too low by the same part; that a meter is
    so is common practice, no source.
    """
    gain = np.array([one.gain for one in readings])
    place = np.array([one.range for one in readings])
    return np.asarray(np.outer(gain, gain) * (place[:, None] == place))


def measure(value: float, mode: Mode) -> float:
    """Return a display as it is worked on."""
    return value if in_volts(mode) else log(max(value, 1e-15))


def measures(values: Floats, modes: Sequence[Mode]) -> Floats:
    """Return displays as they are worked on, (rows, readings)."""
    straight = np.array([in_volts(mode) for mode in modes])
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.log(np.maximum(values, 1e-15))
    return np.where(straight, values, logs)


class Weighed(NamedTuple):
    """How likely the readings are, a row a thing that may be wrong.

    Attributes:
        chance: Natural logarithm of the joint density.
        slips: Chance of every reading to be a slip, (rows, readings).
    """

    chance: Floats
    slips: Floats


def weigh(
    readings: Sequence[Seen],
    told: Floats,
    shared: Floats,
    extra: Floats,
    slip: float,
) -> Weighed:
    """Return how likely readings are.

    Args:
        readings: What was seen.
        told: What each thing foretells, as it is worked on, (rows, readings): infinite
            for OL, NaN where nothing is foretold.
        shared: Covariance of the displays by the spread of parts, (readings, readings),
            or one a row.
        extra: Variances besides, (rows, readings).
        slip: Chance that a reading is a slip of the probe.
    """
    y = np.array([one.number for one in readings])
    shared = shared + gains(readings)
    own = np.array([one.deviation**2 for one in readings])
    odds = np.array([one.slipped for one in readings]) + log(slip)
    variance = own + extra + np.diagonal(shared, axis1=-2, axis2=-1)
    number = np.isfinite(y)
    bell = number & np.isfinite(told)
    plain = _others(readings, told, variance, slip)
    both = np.where(bell, 0.0, np.logaddexp(plain, odds))
    wrong = np.exp(np.clip(odds - both, LEAST_LOG, 0.0))
    off = np.where(bell, y - told, 0.0)
    joint, slips = _joint(off, bell, shared, own + extra, odds, slip)
    return Weighed(both.sum(axis=1) + joint, np.where(bell, slips, wrong))


def _others(
    readings: Sequence[Seen], told: Floats, variance: Floats, slip: float
) -> Floats:
    """Return the logarithm of the chance of what is no number, or of one not foretold."""
    over = np.array([one.over for one in readings])
    sounds = np.array([one.sounds for one in readings])
    with np.errstate(invalid="ignore"):
        above = normal_tail((over - told) / np.sqrt(np.maximum(variance, 1e-12)))
    above = np.where(np.isinf(told), 1.0 - NEVER, np.clip(above, NEVER * NEVER, 1.0))
    chance = np.where(sounds == 1, 1.0 - above, above)
    chance = np.where(np.isnan(over), 0.0, np.clip(chance, 0.0, 1.0))
    with np.errstate(divide="ignore"):
        found = np.log(chance) + log(1 - slip)
    return np.where(np.isnan(told), log(NEVER), found)


def normal_tail(x: Floats) -> Floats:
    """Return the chance of a standard normal above x (Abramowitz & Stegun 26.2.17)."""
    t = 1 / (1 + 0.2316419 * np.abs(x))
    poly = t * (
        0.319381530
        + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429)))
    )
    with np.errstate(over="ignore"):
        upper = np.exp(-np.minimum(x * x, 1400.0) / 2) / sqrt(2 * pi) * poly
    return np.where(x > 0, upper, 1 - upper)


def _joint(
    off: Floats,
    bell: NDArray[np.bool_],
    shared: Floats,
    own: Floats,
    odds: Floats,
    slip: float,
) -> tuple[Floats, Floats]:
    """Return the joint density of the numbers, slips allowed, and each one's slip.

    Without one reading the density of the rest follows from the inverse of the
    covariance: p(y_i | rest) has the variance 1 / P_ii and the residual (P e)_i / P_ii
    (any textbook of multivariate statistics). The likeliest slips are taken away one
    after the other.
    """
    rows, count = off.shape
    if not count:
        return np.zeros(rows), np.zeros((rows, 0))
    mask = bell[:, :, None] & bell[:, None, :]
    table = np.where(mask, np.broadcast_to(shared, (rows, count, count)), 0.0)
    place = np.arange(count)
    table[:, place, place] += np.where(bell, own, 1.0 - table[:, place, place])
    inverse = np.linalg.inv(table)
    _, size = np.linalg.slogdet(table)
    good = bell.sum(axis=1)
    pulled = np.einsum("rij,rj->ri", inverse, off)
    density = -0.5 * ((off * pulled).sum(axis=1) + size + good * LOG_2PI)
    density += good * log(1 - slip)
    return _slipped(density, off, bell.copy(), inverse, odds - log(1 - slip))


def _slipped(
    density: Floats, off: Floats, left: NDArray[np.bool_], inverse: Floats, odds: Floats
) -> tuple[Floats, Floats]:
    """Return the density with slips allowed, and the chance of each reading to be one."""
    rows, count = off.shape
    every, place = np.arange(rows), np.arange(count)
    total, slips = density.copy(), np.zeros((rows, count))
    gone = np.zeros((rows, count), np.bool_)
    for _ in range(min(SLIPS, count)):
        pulled = np.einsum("rij,rj->ri", inverse, off)
        own = np.maximum(inverse[:, place, place], 1e-300)
        alone = -0.5 * (pulled**2 / own - np.log(own) + LOG_2PI)
        each = density[:, None] + np.where(left, odds - alone, -np.inf)
        new = _log_sum(each)
        before, total = total, np.logaddexp(total, new)
        slips *= np.exp(np.clip(before - total, LEAST_LOG, 0.0))[:, None]
        slips += np.exp(np.clip(each - total[:, None], -700.0, 0.0))
        slips += gone * np.exp(np.clip(new - total, LEAST_LOG, 0.0))[:, None]
        best = each.argmax(axis=1)
        density = each[every, best]
        column = inverse[every, :, best]
        inverse = (
            inverse - column[:, :, None] * (column / own[every, best, None])[:, None]
        )
        inverse[every, best, best] = 1.0
        left[every, best], gone[every, best] = False, True
        off = np.where(gone, 0.0, off)
    return total, np.clip(slips, 0.0, 1.0)


def _log_sum(logs: Floats) -> Floats:
    """Return the logarithm of the sum over the last axis."""
    top = logs.max(axis=-1)
    safe = np.where(np.isfinite(top), top, 0.0)
    with np.errstate(divide="ignore"):
        return np.asarray(safe + np.log(np.exp(logs - safe[..., None]).sum(axis=-1)))
