"""The reading to take next: the most expected information for its cost.

Of what is in the running each thing foretells every reading worth taking; what the
reading is expected to tell of them is weighed against what it costs. Readings of the
powered board come last, where no cold one tells enough.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import exp, isfinite, log

import numpy as np

from tracegraph.diagnose.candidates import cost_of
from tracegraph.diagnose.grouping import groups_of
from tracegraph.diagnose.information import by_information_for_cost
from tracegraph.diagnose.judging import DOUBT
from tracegraph.diagnose.outcomes import usual_spread
from tracegraph.diagnose.powering import live_ones
from tracegraph.diagnose.rig import Asked
from tracegraph.diagnose.running import KEEN, Running
from tracegraph.diagnose.verdict import Advice, Outcome, Proposal, Sort, State, Verdict
from tracegraph.diagnose.weighing import Standing
from tracegraph.diagnose.weights import Weights
from tracegraph.diagnose.wording import display_of
from tracegraph.meter.expect import Probe
from tracegraph.meter.unknowns.rests import rests_asked
from tracegraph.network.circuit import Floats
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change, Cut
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage

WORTH = 0.004  # bits under which a reading is not worth taking: a dry joint's worth
SHOWN = 4  # proposals that are told
LIVE_WORTH = 0.01  # bits under which nobody is sent to a live board
UNDER_POWER = "what is left shows under power, if that can be done safely"
LIFTS = 4  # legs whose lifting is weighed
OUTCOMES = 5  # told of a reading
OUT = 0.02  # chance under which a thing is out of the running


def advice_of(weights: Weights, verdict: Verdict) -> Advice:
    """Return the readings to take next, the best first.

    Args:
        weights: The readings so far, weighed.
        verdict: What they come to.
    """
    scene, log = weights.scene, weights.log
    stage = scene.rig(log.moments[log.now]).stage
    left = _left(weights, verdict)
    running = Running(weights, stage, left)
    asked = [
        one for one in scene.candidates(log.moments[log.now]) if _new(weights, one)
    ]
    asked += _again(weights)
    told = running.told(asked)
    bits = running.bits(asked, told)
    last = log.taken[-1].reading.mode if log.taken else None
    cost = [cost_of(scene.traced, scene.priors, one, last) for one in asked]
    order = by_information_for_cost(bits.tolist(), cost, WORTH)
    found = list(_rests_first(weights))
    for k in order[:SHOWN]:
        plain = Proposal(Probe(*asked[k]), Condition(), float(bits[k]), cost[k], (), "")
        found.append(_told(plain, running, told[:, k]))
    if found:
        return Advice(tuple(found[:SHOWN]), "", done=False)
    return _powered(weights, verdict, left, _lifting(weights, verdict, stage))


def _powered(
    weights: Weights,
    verdict: Verdict,
    left: Sequence[Standing] | None,
    cold: Advice,
) -> Advice:
    """Return what to lift, and behind it what shows under power only."""
    if verdict.state is State.EMPTY:
        return cold
    beaten = max((one.bits for one in cold.proposals), default=0.0)
    live = [
        _told(one.plain, one.running, one.told)
        for one in live_ones(weights, left, beaten, LIVE_WORTH)[:SHOWN]
    ]
    if not live:
        return cold
    if cold.proposals:
        words = f"{cold.words}; what is last shows under power only"
    else:
        words = f"no cold reading would tell more: {UNDER_POWER}"
    some = cold.proposals[: SHOWN - 1]
    return Advice((*some, *live)[:SHOWN], words, done=True)


def _left(weights: Weights, verdict: Verdict) -> Sequence[Standing] | None:
    """Return the few things that are left to be told apart; None while it may be any."""
    if verdict.state in {State.FOUND, State.TRACING}:
        return _members(weights)
    if weights.chance > OUT:
        return None
    floor = weights.total + log(OUT)
    return [one for one in weights.found if one.weight > floor] or None


def _members(weights: Weights) -> tuple[Standing, ...]:
    """Return the members of the likeliest group."""
    ranked = groups_of(weights.weighing, weights.found, weights.total)
    return ranked[0].members


def _new(weights: Weights, asked: Asked) -> bool:
    """Return whether a reading was not taken yet of the board as it stands."""
    return not any(
        (one.red, one.black, one.reading.mode) == asked
        and one.moment == weights.log.now
        for one in weights.log.taken
    )


def _again(weights: Weights) -> list[Asked]:
    """Return readings that may have been slips: worth taking again."""
    slips = weights.chance * weights.weighing.standings[0].slips
    for one in weights.found:
        slips = slips + exp(max(one.weight - weights.total, -700.0)) * one.slips
    return [
        (one.red, one.black, one.reading.mode)
        for k, one in enumerate(weights.log.taken)
        if slips[k] > DOUBT / 2
        and one.moment == weights.log.now
        and one.reading.mode is not Mode.CAP
    ]


def _rests_first(weights: Weights) -> Iterator[Proposal]:
    """Yield readings of what hangs on rails, where that is not known."""
    stage = weights.scene.traced
    read = {frozenset((one.red, one.black)) for one in weights.log.taken}
    rails = {rail.net for rail in stage.rails}
    for net, ground in rests_asked(stage):
        if net in rails and frozenset((net, ground)) not in read:
            words = (
                f"what else hangs on {net} is not known, and it may move other "
                f"readings: write what it shows as `rest {net} -- {ground} ...`"
            )
            probe = Probe(net, ground, Mode.OHMS)
            yield Proposal(probe, Condition(), 0.0, 1.0, (), words)


def _told(plain: Proposal, running: Running, told: Floats) -> Proposal:
    """Return a proposal with its outcomes, and why it is made."""
    outcomes = tuple(_outcomes(running, told, plain.probe.mode))
    words = ""
    if len(outcomes) > 1:
        first = "a healthy section" if outcomes[0].healthy else outcomes[0].means
        words = f"it tells {first} from {outcomes[1].means}"
    return plain._replace(outcomes=outcomes, words=words)


def _outcomes(running: Running, told: Floats, mode: Mode) -> Iterator[Outcome]:
    """Yield what a reading may show: things that show the same together."""
    spread = usual_spread(mode) * (KEEN if running.keen else 1.0)
    groups: list[list[int]] = []
    for k in np.argsort(told, kind="stable").tolist():
        last = told[groups[-1][-1]] if groups else None
        near = last is not None and (
            told[k] == last or (isfinite(told[k]) and told[k] - last < 2 * spread)
        )
        if near:
            groups[-1].append(k)
        else:
            groups.append([k])
    groups = [group for group in groups if running.shares[group].sum() > 0]
    ranked = sorted(groups, key=lambda group: -running.shares[group].sum())
    total = running.shares.sum()
    for group in ranked[:OUTCOMES]:
        low, high = (
            display_of(float(end), mode, running.profile)
            for end in (told[group].min(), told[group].max())
        )
        yield Outcome(
            low if low == high else f"{low} to {high}",
            float(running.shares[group].sum() / total),
            _means(running, group),
            0 in group and bool(running.shares[0] > 0),
        )


def _means(running: Running, group: Sequence[int]) -> str:
    """Return what an outcome points to: the likeliest two, and how many more."""
    by_name: dict[str, float] = {}
    for k in group:
        name = running.names[k]
        by_name[name] = by_name.get(name, 0.0) + float(running.shares[k])
    ranked = sorted(by_name, key=lambda name: -by_name[name])
    if 0 in group and running.shares[0] > 0:
        others = [name for name in ranked if name != "healthy"]
        if ranked[0] == "healthy" or not others:
            return "nothing wrong here"
        ranked = others
    words = " or ".join(ranked[:2])
    return f"{words}, or {len(ranked) - 2} more" if len(ranked) > 2 else words


def _lifting(weights: Weights, verdict: Verdict, stage: Stage) -> Advice:
    """Return what to lift where nothing in place tells more."""
    if verdict.state in {State.HEALTHY, State.EMPTY} or not verdict.groups:
        words = "no reading in place would tell more: all is said"
        return Advice((), words, done=True)
    group = verdict.groups[0]
    blamed = [one for one in group.suspects if one.sort is Sort.PART]
    refs = dict.fromkeys(ref for one in blamed for ref in one.parts)
    others = any(one.sort in {Sort.BRIDGE, Sort.SLIP} for one in group.suspects)
    found = []
    if refs and len(refs) + others > 1:
        legs = list(_legs(stage, refs))[:LIFTS]
        lifted = (_lifted(weights, stage, pin) for pin in legs)
        found = [one for one in lifted if one is not None]
        found.sort(key=lambda one: -one.bits / one.cost)
    if found:
        words = "nothing in place tells more: lift a leg"
        return Advice(tuple(found[:SHOWN]), words, done=True)
    words = f"no reading in place would tell more: {verdict.words}"
    return Advice((), f"{words}; {group.check}" if group.check else words, done=True)


def _legs(stage: Stage, refs: dict[str, None]) -> Iterator[Pin]:
    for ref in refs:
        part = stage.part(ref)
        if part and part.fitted:
            nets = part.pins.items()
            shared = [pin for pin, net in nets if len(stage.nets.get(net, ())) > 1]
            yield from (Pin(part.ref, pin) for pin in shared[-1:])


def _lifted(weights: Weights, stage: Stage, pin: Pin) -> Proposal | None:
    """Return the best reading across a part with one leg lifted."""
    cut: tuple[Change, ...] = (Cut(pin),)
    after = apply(stage, cut, keep_names=True)
    part = after.part(pin.part)
    if part is None:
        return None
    running = Running(weights, after, _members(weights))
    asked: list[Asked] = []
    for a, b in combinations(dict.fromkeys(part.pins.values()), 2):
        asked += [(a, b, Mode.DIODE), (b, a, Mode.DIODE), (a, b, Mode.OHMS)]
    asked = [one for one in asked if running.profile.scales(one[2])]
    told = running.told(asked)
    bits = running.bits(asked, told)
    best = int(bits.argmax()) if len(bits) else 0
    if not len(bits) or bits[best] < WORTH:
        return None
    red, black, mode = asked[best]
    probe = Probe(_named(after, red, pin), _named(after, black, pin), mode)
    priors = weights.scene.priors
    cost = priors.figure("cost.lift") + priors.figure("cost.probe")
    plain = Proposal(probe, Condition(changes=cut), float(bits[best]), cost, (), "")
    return _told(plain, running, told[:, best])


def _named(stage: Stage, net: str, pin: Pin) -> str:
    """Return a net by a name that a technician can find: the lifted leg by its pin."""
    return str(pin) if stage.net(str(pin)) == net else net
