"""What hangs on a cold rail, taken from a reading of it in the log.

A rail without a `rest` line is neither a source nor open: its rest is unknown until
somebody measures it. Where the log holds that very reading, it is the rest.
"""

from dataclasses import replace
from math import isinf

import numpy as np

from tracegraph.meter.instrument import show
from tracegraph.meter.profile import Profile
from tracegraph.meter.unknowns.boards import Boards
from tracegraph.meter.unknowns.every import unknowns
from tracegraph.meter.unknowns.rests import rests_asked
from tracegraph.quantity import Origin, Quantity
from tracegraph.stage.reading import Block, Condition, Mode, Reading, Shown
from tracegraph.stage.stage import Rest, RestForm, Stage

# A settled rail reads over 100 ohm to ground; under that it may be shorted, which is a
# fault to be told and no rest: common practice, no source.
LEAST_OHMS = 100.0
OWN = 0.95  # of what the section itself reads, from which nothing else hangs there
SPREAD = 0.03  # how well one reading tells the rest


def settled(stage: Stage, profile: Profile) -> Stage:
    """Return the section with the rests that its log has measured.

    Args:
        stage: The section with its log.
        profile: The meter.
    """
    found = []
    for net, ground in rests_asked(stage):
        reading = _reading(stage, net, ground)
        if reading is not None and float(reading) >= LEAST_OHMS:
            found.append(_rest(stage, net, ground, float(reading), profile))
    return replace(stage, rests=(*stage.rests, *found)) if found else stage


def _reading(stage: Stage, net: str, ground: str) -> float | None:
    """Return what the meter showed between two nets in ohms, nothing done before."""
    for entry in stage.log:
        if not isinstance(entry, Block):
            return None  # what was done to the board may have changed it
        for one in entry.readings:
            if _is_of(stage, one, {net, ground}) and not isinstance(one.shown, Shown):
                return None if one.at_least else float(one.shown)
    return None


def _is_of(stage: Stage, one: Reading, ends: set[str]) -> bool:
    plain = one.condition == Condition() and one.mode is Mode.OHMS
    return plain and {stage.net(one.red), stage.net(one.black)} == ends


def _rest(stage: Stage, net: str, ground: str, ohms: float, profile: Profile) -> Rest:
    """Return the rest that, beside the section itself, reads so much."""
    nothing = Rest(net, ground, RestForm.NONE)
    alone = replace(stage, rests=(*stage.rests, nothing), log=())
    circuit = Boards(alone, unknowns(alone)).usual.circuit
    pair = np.array([[circuit.nodes[net], circuit.nodes[ground]]])
    own = float(show(circuit, pair, Mode.OHMS, profile).values[0])
    if not isinf(own) and ohms >= OWN * own:
        return nothing
    left = ohms if isinf(own) else 1 / (1 / ohms - 1 / own)
    spread = Quantity(
        left, left * (1 - SPREAD), left * (1 + SPREAD), "ohm", Origin.MEASURED
    )
    return Rest(net, ground, RestForm.OHMS, spread)
