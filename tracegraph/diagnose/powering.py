"""Volts of the powered board worth reading, where no cold reading tells enough.

They are proposed last: a cold board hurts nobody. Only in states that the file declares,
on nets of which it tells all about, and on a net above the safe voltage only where
nothing else tells nearly as much.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.hearing import why_deaf
from tracegraph.diagnose.moments import powered_now
from tracegraph.diagnose.rig import Asked, Rig
from tracegraph.diagnose.running import Running
from tracegraph.diagnose.verdict import Proposal
from tracegraph.diagnose.weighing import Standing
from tracegraph.diagnose.weights import Weights
from tracegraph.meter.expect import Probe
from tracegraph.network.circuit import Floats, UnknownValueError
from tracegraph.stage.caution import HARMFUL_VOLTS
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.reference import grounds_of

STATES, NETS = 4, 40  # that are looked at
AS_MUCH = 0.5  # part of its bits that anything safer must lack for a harmful net


class LiveOne(NamedTuple):
    """A reading of the powered board.

    Attributes:
        plain: As proposed, without its outcomes.
        running: What is in the running.
        told: What each thing in the running foretells.
        harmful: Whether the net may stand above the safe voltage.
    """

    plain: Proposal
    running: Running
    told: Floats
    harmful: bool


def live_ones(
    weights: Weights, among: Sequence[Standing] | None, beaten: float, worth: float
) -> list[LiveOne]:
    """Return the readings of the powered board that tell something, the best first.

    Args:
        weights: The readings so far, weighed.
        among: The few things that are left; None while it may be any.
        beaten: Bits that the best cold reading still tells.
        worth: Bits from which a reading is worth taking.
    """
    states = [one.name for one in weights.scene.traced.states[:STATES]]
    found = [one for state in states for one in _in(weights, among, state)]
    found = [one for one in found if one.plain.bits >= worth]
    found.sort(key=lambda one: -one.plain.bits)
    safe = [one for one in found if not one.harmful]
    least = max([beaten, *(one.plain.bits for one in safe)]) / AS_MUCH
    rest = [one for one in found if one.harmful and one.plain.bits > least]
    return [*safe, *rest]


def _in(
    weights: Weights, among: Sequence[Standing] | None, state: str
) -> Iterator[LiveOne]:
    """Yield the readings of one state, whatever they tell."""
    scene = weights.scene
    try:
        rig = scene.rig(powered_now(weights.log, state))
    except UnknownValueError:
        return
    asked = list(_asked(weights, rig, state))
    if not asked:
        return
    running = Running(weights, rig.stage, among, rig)
    told = running.told(asked)
    bits = running.bits(asked, told)
    cost = scene.priors.figure("cost.power")
    chances = running.shares > 0
    for k, one in enumerate(asked):
        most = np.abs(told[chances, k]).max(initial=0.0)
        plain = Proposal(
            Probe(*one), Condition(power=state), float(bits[k]), cost, (), ""
        )
        yield LiveOne(plain, running, told[:, k], bool(most > HARMFUL_VOLTS))


def _asked(weights: Weights, rig: Rig, state: str) -> Iterator[Asked]:
    """Yield the nets of a state over their grounds, those not read yet."""
    traced = weights.scene.traced
    read = {
        (one.red, one.black)
        for one in weights.log.taken
        if weights.log.moments[one.moment].power == state
    }
    grounds = grounds_of(traced)
    pairs = [(net, grounds[net]) for net in traced.nets if net in grounds]
    for net, ground in pairs[:NETS]:
        probed = (net, ground) in read or net == ground
        if not probed and not why_deaf(rig, net, ground):
            yield net, ground, Mode.VOLTS
