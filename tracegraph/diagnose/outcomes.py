"""What a reading may show under each thing that may be wrong, in chances."""

from collections.abc import Sequence
from math import log
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.likelihood import normal_tail
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import Floats
from tracegraph.stage.reading import Mode

DIODE_STEP, OHMS_STEP = 0.04, 0.1  # width of an outcome, as it is worked on
DIODE_SPREAD, OHMS_SPREAD = 0.03, 0.06  # of healthy parts and meter, a deviation
LIVE_SPREAD = 0.1  # volts, of a live net
LIVE_STEP, LIVE_FROM, LIVE_TO = 0.2, -20.0, 40.0  # within them a step is so wide
LIVE_MOST, COARSE = 1000.0, 40  # beyond, so many steps by equal ratios
OHMS_FROM, OHMS_TO = log(0.05), log(6.5e7)


class Outcomes(NamedTuple):
    """Outcomes of one mode: displays in steps, then OL or silence.

    Attributes:
        edges: Where one step ends and the next begins, as it is worked on.
        over: What is above is the last outcome.
    """

    edges: Floats
    over: float


def outcomes_of(mode: Mode, profile: Profile, keen: float = 1.0) -> Outcomes:
    """Return the outcomes of a mode.

    Args:
        mode: OHMS, DIODE, BEEP or VOLTS.
        profile: The meter; it must have the mode.
        keen: What is left of the usual width of an outcome.
    """
    if mode is Mode.DIODE:
        over = profile.scales(mode)[-1].full
        steps = np.arange(0.0, over, DIODE_STEP * keen)
        return Outcomes(np.append(steps, over), over)
    if mode is Mode.VOLTS:
        fine = np.arange(LIVE_FROM, LIVE_TO, LIVE_STEP * keen)
        far = np.geomspace(LIVE_TO, LIVE_MOST, COARSE)
        return Outcomes(np.concatenate([-far[::-1], fine, far]), LIVE_MOST)
    if mode is Mode.BEEP and profile.beep:
        over = log(profile.beep.below)
        return Outcomes(np.array([OHMS_FROM, over]), over)
    over = log(profile.scales(mode)[-1].full)
    steps = np.arange(OHMS_FROM, over, OHMS_STEP * keen)
    return Outcomes(np.append(steps, over), over)


def usual_spread(mode: Mode) -> float:
    """Return the standard deviation of a display where nothing is known of it."""
    if mode is Mode.VOLTS:
        return LIVE_SPREAD
    return DIODE_SPREAD if mode is Mode.DIODE else OHMS_SPREAD


def chances(told: Floats, spread: Floats, of: Outcomes, slip: float) -> Floats:
    """Return how likely every outcome is, (rows, probes, outcomes).

    Args:
        told: What rows foretell, as it is worked on, (rows, probes).
        spread: Standard deviation of each probe's display, (probes,).
        of: The outcomes.
        slip: Chance that a reading is a slip, which shows anything.
    """
    known = np.where(np.isfinite(told), told, 0.0)[..., None]
    above = normal_tail((of.edges - known) / spread[:, None])
    inside = above[..., :-1] - above[..., 1:]
    inside[..., :1] += 1.0 - above[..., :1]
    found = np.concatenate([inside, above[..., -1:]], axis=-1)
    open_one = np.zeros(found.shape[-1])
    open_one[-1] = 1.0
    found = np.where(np.isinf(told)[..., None], open_one, found)
    even = 1.0 / found.shape[-1]
    found = np.where(np.isnan(told)[..., None], even, np.maximum(found, 0.0))
    return np.asarray((1 - slip) * found + slip * even)


def padded(tables: Sequence[Floats]) -> Floats:
    """Return chances of several modes as one table, with zeros where one has fewer."""
    most = max(table.shape[-1] for table in tables)
    wide = [
        np.pad(table, ((0, 0), (0, 0), (0, most - table.shape[-1]))) for table in tables
    ]
    return np.concatenate(wide, axis=1)
