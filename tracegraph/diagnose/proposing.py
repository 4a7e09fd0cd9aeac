"""The reading to take next: the most expected information for its cost.

Of what is in the running each thing foretells every reading worth taking; what the
reading is expected to tell of them is weighed against what it costs.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import exp, inf, isfinite

import numpy as np

from tracegraph.diagnose.grouping import suspect
from tracegraph.diagnose.hypothesis import Hypothesis
from tracegraph.diagnose.information import by_information_for_cost, expected_bits
from tracegraph.diagnose.judging import DOUBT, Weights
from tracegraph.diagnose.likelihood import measures
from tracegraph.diagnose.outcomes import chances, outcomes_of, padded
from tracegraph.diagnose.rig import Asked, Rig
from tracegraph.diagnose.scene import Scene, completed
from tracegraph.diagnose.verdict import Advice, Outcome, Proposal, Sort, State, Verdict
from tracegraph.diagnose.weighing import Standing
from tracegraph.diagnose.wording import display_of
from tracegraph.meter.expect import Probe
from tracegraph.meter.unknowns.rests import rests_asked
from tracegraph.network.circuit import Floats
from tracegraph.network.family import Between, Instead
from tracegraph.stage.change import Change, Cut
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage

RUNNING = 60  # things in the running that are asked what they foretell
FAINT = 1e-6  # share of all under which a thing is not asked
VALUES = 3  # of a thing whose value is not known yet
MOST = 160  # readings weighed
WORTH = 0.02  # bits under which a reading is not worth taking
SHOWN = 4  # proposals that are told
LIFTS = 4  # legs whose lifting is weighed
SEVERAL_OUTCOMES = 5


class _Field:
    """What is in the running, with its shares and what it shows."""

    def __init__(self, weights: Weights, stage: Stage) -> None:
        self.weights, self.scene = weights, weights.scene
        self.profile = self.scene.profile
        self.names: list[str] = ["healthy"]
        self.standings: list[Standing | None] = [None]
        shares = [exp(weights.weighing.standings[0].hidden - weights.total)]
        rows: list[tuple[Hypothesis, int] | None] = [None]
        chosen: list[Hypothesis] = []
        for one in _running(weights):
            told = suspect(one, weights.total)
            share = exp(np.logaddexp(one.weight, one.hidden) - weights.total)
            values = _values(one)
            for place, hypothesis in values:
                chosen.append(hypothesis)
                rows.append((hypothesis, place))
                self.names.append(told.words)
                self.standings.append(one)
                shares.append(share / len(values))
        self.shares = np.array(shares)
        self.rig = Rig(stage, self.profile)
        self.rig.add(chosen)
        self._rows = [0 if row is None else self._row(row[0], row[1]) for row in rows]

    def _row(self, hypothesis: Hypothesis, place: int) -> int:
        rows = self.rig.rows(hypothesis)
        return int(min(rows.start + place, rows.stop - 1))

    def told(self, asked: Sequence[Asked]) -> Floats:
        """Return what everything in the running foretells, (rows, readings)."""
        self.rig.work_out(asked)
        columns = [self.rig.column(one).values[self._rows] for one in asked]
        whole = np.stack(columns, axis=1) if columns else np.zeros((len(self._rows), 0))
        return measures(whole, [mode for _, _, mode in asked])

    def bits(self, asked: Sequence[Asked], told: Floats) -> Floats:
        """Return the information that is expected of every reading."""
        slip = self.scene.priors.figure("probe.slip")
        modes = dict.fromkeys(mode for _, _, mode in asked)
        tables, order = [], []
        for mode in modes:
            places = [k for k, one in enumerate(asked) if one[2] is mode]
            order += places
            tables.append(
                chances(told[:, places], outcomes_of(mode, self.profile), slip)
            )
        found = expected_bits(self.shares, padded(tables).transpose(1, 0, 2))
        bits = np.zeros(len(asked))
        bits[order] = found
        return bits


def _running(weights: Weights) -> list[Standing]:
    """Return what is in the running, the likeliest first."""
    floor = weights.total + np.log(FAINT)
    some = [
        one
        for one in weights.found
        if np.logaddexp(one.weight, one.hidden) > floor
        and one.hypothesis is not None
        and not one.hypothesis.blind
    ]
    some.sort(key=lambda one: -float(np.logaddexp(one.weight, one.hidden)))
    return some[:RUNNING]


def _values(one: Standing) -> list[tuple[int, Hypothesis]]:
    """Return a standing at a few of its values: each a row of a way of these only."""
    hypothesis = one.hypothesis
    assert hypothesis is not None
    way = hypothesis.way
    if not isinstance(way, Between | Instead):
        return [(0, hypothesis)]
    values: tuple[float, ...] = (one.ohms,)
    if hypothesis.spread and not (isfinite(one.weight) and one.high < 2 * one.low):
        values = _quantiles(hypothesis)
    elif not isfinite(one.weight) and not hypothesis.spread:
        values = (hypothesis.ranges[0][0].low,)
    finer = hypothesis._replace(way=way._replace(ohms=values))
    return [(place, finer) for place in range(len(values))]


def _quantiles(hypothesis: Hypothesis) -> tuple[float, ...]:
    """Return a few values over the ranges of a hypothesis, by equal ratios."""
    values = []
    for span, _ in hypothesis.ranges:
        if span.low == span.high:
            values.append(span.low)
            continue
        steps = (np.arange(VALUES) + 0.5) / VALUES
        values += [float(span.low ** (1 - s) * span.high**s) for s in steps]
    return tuple(values)


def advice_of(weights: Weights, verdict: Verdict) -> Advice:
    """Return the readings to take next, the best first.

    Args:
        weights: The readings so far, weighed.
        verdict: What they come to.
    """
    scene = weights.scene
    moment = weights.log.moments[weights.log.now]
    stage = completed(moment.stage, scene.world.changes)
    field = _Field(weights, stage)
    asked = [one for one in _worth_asking(scene, moment.stage) if _new(weights, one)]
    asked += _again(weights)
    told = field.told(asked)
    bits = field.bits(asked, told)
    cost = np.array([_cost(weights, one) for one in asked])
    order = by_information_for_cost(bits.tolist(), cost.tolist(), WORTH)
    found = [
        _proposal(
            field, asked[k], told[:, k], float(bits[k]), float(cost[k]), Condition()
        )
        for k in order[:SHOWN]
    ]
    found = [*_rests_first(weights, field), *found][:SHOWN]
    if found and (verdict.state is not State.FOUND or not _settled(verdict)):
        return Advice(tuple(found), "", done=False)
    return _lifting(weights, verdict, field, stage)


def _settled(verdict: Verdict) -> bool:
    """Return whether only one part is left to blame."""
    return len({one.parts for one in verdict.groups[0].suspects}) == 1


def _worth_asking(scene: Scene, stage: Stage) -> list[Asked]:
    """Return the readings that may tell something: parts first, then to the references."""
    pairs: dict[tuple[str, str], None] = {}
    for part in stage.parts:
        if part.fitted:
            for a, b in combinations(dict.fromkeys(part.pins.values()), 2):
                pairs.setdefault(_ordered(a, b))
    for net in stage.nets:
        for other in stage.references:
            if net != other:
                pairs.setdefault(_ordered(net, other))
    for a, b in combinations(stage.nets, 2):
        pairs.setdefault(_ordered(a, b))
    asked: list[Asked] = []
    for a, b in pairs:
        if scene.profile.diode:
            asked += [(a, b, Mode.DIODE), (b, a, Mode.DIODE)]
        if scene.profile.ohms:
            asked.append((a, b, Mode.OHMS))
        if len(asked) >= MOST:
            break
    return asked


def _ordered(a: str, b: str) -> tuple[str, str]:
    return (a, b) if a < b else (b, a)


def _new(weights: Weights, asked: Asked) -> bool:
    now = weights.log.now
    return not any(
        (one.red, one.black, one.reading.mode) == asked and one.moment == now
        for one in weights.log.taken
    )


def _again(weights: Weights) -> list[Asked]:
    """Return readings that may have been slips: worth taking again."""
    share = np.array([one.weight for one in weights.found] or [-inf]) - weights.total
    healthy = exp(weights.healthy - weights.total)
    slips = healthy * weights.weighing.standings[0].slips
    for weight, one in zip(share, weights.found, strict=False):
        slips = slips + exp(max(float(weight), -700.0)) * one.slips
    now = weights.log.now
    return [
        (one.red, one.black, one.reading.mode)
        for k, one in enumerate(weights.log.taken)
        if slips[k] > DOUBT / 2
        and one.moment == now
        and one.reading.mode is not Mode.CAP
    ]


def _cost(weights: Weights, asked: Asked) -> float:
    priors, taken = weights.scene.priors, weights.log.taken
    same = not taken or taken[-1].reading.mode is asked[2]
    return priors.figure("cost.probe") + (0.0 if same else priors.figure("cost.mode"))


def _rests_first(weights: Weights, field: _Field) -> Iterator[Proposal]:
    """Yield readings of what hangs on rails and plugs, where that is not known."""
    stage = weights.scene.traced
    read = {frozenset((one.red, one.black)) for one in weights.log.taken}
    for net, ground in rests_asked(stage):
        if (
            net in {rail.net for rail in stage.rails}
            and frozenset((net, ground)) not in read
        ):
            asked = (net, ground, Mode.OHMS)
            told = field.told([asked])
            proposal = _proposal(field, asked, told[:, 0], 0.0, 1.0, Condition())
            words = (
                f"what else hangs on {net} is not known, and it may move other "
                f"readings: write what it shows as `rest {net} -- {ground} ...`"
            )
            yield proposal._replace(words=words, outcomes=())


def _proposal(
    field: _Field,
    asked: Asked,
    told: Floats,
    bits: float,
    cost: float,
    condition: Condition,
) -> Proposal:
    red, black, mode = asked
    outcomes = tuple(_outcomes(field, told, mode))
    words = ""
    if len(outcomes) > 1:
        words = f"it parts {outcomes[0].means} from {outcomes[1].means}"
    return Proposal(Probe(red, black, mode), condition, bits, cost, outcomes, words)


def _outcomes(field: _Field, told: Floats, mode: Mode) -> Iterator[Outcome]:
    """Yield what a reading may show: things that show the same together."""
    spread = outcomes_of(mode, field.profile).spread
    order = np.argsort(told, kind="stable")
    groups: list[list[int]] = []
    for k in order.tolist():
        last = told[groups[-1][-1]] if groups else None
        near = last is not None and (
            told[k] == last or (isfinite(told[k]) and told[k] - last < 2 * spread)
        )
        if near:
            groups[-1].append(k)
        else:
            groups.append([k])
    ranked = sorted(groups, key=lambda group: -field.shares[group].sum())
    total = field.shares.sum()
    for group in ranked[:SEVERAL_OUTCOMES]:
        yield Outcome(
            _range(field, told[group], mode),
            float(field.shares[group].sum() / total),
            _means(field, group),
            0 in group,
        )


def _range(field: _Field, told: Floats, mode: Mode) -> str:
    low = display_of(float(told.min()), mode, field.profile)
    high = display_of(float(told.max()), mode, field.profile)
    return low if low == high else f"{low} to {high}"


def _means(field: _Field, group: Sequence[int]) -> str:
    """Return what an outcome points to: the likeliest two, and how many more."""
    by_name: dict[str, float] = {}
    for k in group:
        by_name[field.names[k]] = by_name.get(field.names[k], 0.0) + field.shares[k]
    ranked = sorted(by_name, key=lambda name: -by_name[name])
    if 0 in group:
        others = [name for name in ranked if name != "healthy"]
        top = max((by_name[name] for name in others), default=0.0)
        if top < by_name["healthy"] or not others:
            return "nothing wrong here"
        ranked = others
    words = " or ".join(ranked[:2])
    return f"{words}, or {len(ranked) - 2} more" if len(ranked) > 2 else words


def _lifting(weights: Weights, verdict: Verdict, field: _Field, stage: Stage) -> Advice:
    """Return what to lift where nothing in place tells more."""
    if verdict.state in {State.HEALTHY, State.EMPTY} or not verdict.groups:
        return Advice((), "no reading in place would tell more: all is said", done=True)
    group = verdict.groups[0]
    refs = dict.fromkeys(ref for one in group.suspects for ref in one.parts)
    found = []
    for pin in list(_legs(stage, refs))[:LIFTS]:
        proposal = _lifted(weights, stage, pin)
        if proposal is not None:
            found.append(proposal)
    found.sort(key=lambda one: -one.bits / one.cost)
    if (
        found
        and len(refs) + sum(one.sort is not Sort.PART for one in group.suspects) > 1
    ):
        return Advice(
            tuple(found[:SHOWN]), "nothing in place tells more: lift a leg", done=True
        )
    return Advice(
        (), f"no reading in place would tell more: {verdict.words}", done=True
    )


def _legs(stage: Stage, refs: "dict[str, None]") -> Iterator[Pin]:
    for ref in refs:
        part = stage.part(ref)
        if part and part.fitted:
            shared = [
                p for p, net in part.pins.items() if len(stage.nets.get(net, ())) > 1
            ]
            yield from (Pin(part.ref, pin) for pin in shared[-1:])


def _lifted(weights: Weights, stage: Stage, pin: Pin) -> Proposal | None:
    """Return the best reading across a part with one leg lifted."""
    cut: tuple[Change, ...] = (Cut(pin),)
    after = completed(stage, cut)
    part = after.part(pin.part)
    if part is None:
        return None
    field = _Field(weights, after)
    nets = list(dict.fromkeys(part.pins.values()))
    asked: list[Asked] = []
    for a, b in combinations(nets, 2):
        asked += [(a, b, Mode.DIODE), (b, a, Mode.DIODE), (a, b, Mode.OHMS)]
    told = field.told(asked)
    bits = field.bits(asked, told)
    best = int(bits.argmax())
    if bits[best] < WORTH:
        return None
    cost = weights.scene.priors.figure("cost.lift") + 1.0
    condition = Condition(changes=cut)
    found = _proposal(
        field, asked[best], told[:, best], float(bits[best]), cost, condition
    )
    red, black, mode = found.probe
    named = Probe(_named(after, red, pin), _named(after, black, pin), mode)
    return found._replace(probe=named)


def _named(stage: Stage, net: str, pin: Pin) -> str:
    """Return a net by a name that a technician can find: the lifted leg by its pin."""
    return str(pin) if stage.net(str(pin)) == net else net
