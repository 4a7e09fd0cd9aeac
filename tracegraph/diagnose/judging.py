"""From weights to the verdict: groups, what speaks for them, what is still open."""

from collections.abc import Iterator, Sequence
from math import log

import numpy as np

from tracegraph.diagnose.deeds import check, lift
from tracegraph.diagnose.grouping import Ranked, groups_of, slip_share, suspect
from tracegraph.diagnose.hypothesis import EXCHANGED
from tracegraph.diagnose.lawful import lawful
from tracegraph.diagnose.likelihood import measures, weigh
from tracegraph.diagnose.supplies import supply_words
from tracegraph.diagnose.verdict import (
    Doubtful,
    Evidence,
    Group,
    Sort,
    State,
    Suspect,
    Verdict,
)
from tracegraph.diagnose.weighing import Standing, alike
from tracegraph.diagnose.weights import Weights
from tracegraph.diagnose.wording import display_of, doubtful, evidence
from tracegraph.network.circuit import Floats
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Condition

DOUBT = 0.5  # chance of a slip from which a reading is to be taken again
SLIP_LEADS = 0.5  # share of a group from which the tracing is checked first
SLIP_COUNTS = 0.05  # and from which it is spoken of
ODD = 3.0  # nats by which a reading must be likelier with anything else to be odd
BESIDE = 0.02  # of its likeliest member's chance from which a member is told
FEW = 4  # readings among which one odd one may stand on a healthy section
FITS = 3.0  # standard deviations within which a fault explains a reading


def verdict_of(weights: Weights, sure: float) -> Verdict:
    """Return the verdict that weighed readings come to.

    Args:
        weights: The readings, weighed.
        sure: Chance from which the verdict names what it is.
    """
    teller = _Teller(weights)
    state = teller.state(sure)
    return Verdict(
        state,
        teller.sentence(state),
        teller.groups if weights.log.taken else (),
        weights.chance,
        tuple(one.reading for one in weights.log.taken),
        odd=teller.odd,
        doubtful=teller.doubtful(),
        lawful=tuple(teller.lawful()),
        conflicts=teller.conflicts(),
        untested=tuple(teller.untested()),
        unseen=tuple(teller.unseen()),
        left=weights.log.left,
        condition=Condition(),
        meter=weights.scene.profile.name,
        supply=supply_words(weights.log.supplies),
    )


class _Teller:
    """Tells weights as a verdict."""

    def __init__(self, weights: Weights) -> None:
        self.weights, self.log = weights, weights.log
        self.weighing, self.profile = weights.weighing, weights.scene.profile
        self.healthy = weights.weighing.readings.healthy()[0]
        self.ranked = groups_of(self.weighing, weights.found, weights.total)
        self.good = [
            display_of(float(told), mode, self.profile)
            for told, mode in zip(
                self.healthy, self.weighing.readings.modes, strict=True
            )
        ]
        base = self._alone(self.healthy)
        self.base = base
        self.groups = tuple(self._group(one) for one in self.ranked)
        self.odd = tuple(self._odd())

    def _alone(self, told: Floats) -> Floats:
        """Return how likely each reading is by itself, as logarithms."""
        slip = self.weights.scene.priors.figure("probe.slip")
        shared = self.weighing.readings.swayed(None, 0)
        found = np.zeros(len(told))
        for k, one in enumerate(self.weighing.seen):
            own = told[None, [k]]
            spread = shared[[k]][:, [k]]
            found[k] = weigh([one], own, spread, np.zeros((1, 1)), slip).chance[0]
        return found

    def _group(self, ranked: Ranked) -> Group:
        least = ranked.members[0].weight + log(BESIDE)
        told = [one for one in ranked.members if one.weight > least]
        members = tuple(suspect(one, self.weights.total) for one in told)
        slip = slip_share(ranked)
        return Group(
            members,
            ranked.chance,
            tuple(self._evidence(ranked.members[0], members[0])),
            check=check(members, slip),
            lift=lift(members, self.weights.scene) if len(members) > 1 else "",
            slip=slip,
        )

    def _evidence(self, one: Standing, told: Suspect) -> Iterator[Evidence]:
        gain = self._alone(one.told) - self.base
        order = np.argsort(-np.abs(gain), kind="stable")
        for k in order:
            reading = self.log.taken[k].reading
            shows = display_of(float(one.told[k]), reading.mode, self.profile)
            yield evidence(reading, self.good[k], shows, float(gain[k]), told.words)

    def _odd(self) -> Iterator[Evidence]:
        """Yield the readings that a healthy section would not show."""
        slip = self.weighing.standings[0].slips
        for k, taken in enumerate(self.log.taken):
            if slip[k] > DOUBT:
                yield evidence(taken.reading, self.good[k], "", ODD, "")

    def state(self, sure: float) -> State:
        """Return how the diagnosis stands."""
        if not self.log.taken:
            return State.EMPTY
        if self.weights.chance >= sure:
            return self._unharmed()
        top = self.groups[0] if self.groups else None
        if top and top.chance >= sure:
            if self._renewed(top):
                return State.HEALTHY
            return State.TRACING if top.slip >= SLIP_LEADS else State.FOUND
        best = self.ranked[0].members[0] if self.ranked else None
        if best is not None and (best.slips > DOUBT).sum() > 1:
            return State.UNEXPLAINED
        return State.OPEN

    def _unharmed(self) -> State:
        """Return how it stands if nothing but odd readings speaks against health."""
        odd = len(self.odd)
        if odd > 1:
            return State.UNEXPLAINED
        if self.log.supplies.off:
            return State.OPEN
        return State.HEALTHY if odd * FEW <= len(self.log.taken) else State.OPEN

    def _renewed(self, group: Group) -> bool:
        """Return whether what is to blame has been replaced since."""
        done = {
            ref for one in self.log.moments[self.log.now].done for ref in one.target
        }
        return all(
            one.parts and one.name != EXCHANGED and set(one.parts) <= done
            for one in group.suspects
        )

    def sentence(self, state: State) -> str:
        """Return the verdict as a sentence; a rail that is not there comes first."""
        words = self._sentence(state)
        if not self.log.supplies.off:
            return words
        dead = " and ".join(supply_words(self.log.supplies))
        if state is State.OPEN and self.weights.chance > 0.5:
            return f"{dead}: find out why before any part is condemned"
        return f"{dead}: find out why first; as it stood, {words}"

    def _sentence(self, state: State) -> str:
        top = self.groups[0] if self.groups else None
        likeliest = _either(top) if top else "that nothing is wrong"
        if not top or top.chance <= self.weights.chance:
            likeliest = "that nothing is wrong but one odd reading"
        return {
            State.EMPTY: "no reading yet: nothing can be said of this section",
            State.HEALTHY: self._healthy(top),
            State.FOUND: self._found(top),
            State.TRACING: (
                f"the file is probably wrong, not the board: {_slips_first(top)}; "
                "check that before any part is condemned"
            ),
            State.UNEXPLAINED: (
                "nothing that is known explains these readings: take the odd ones again"
            ),
            State.OPEN: f"not decided yet; likeliest is {likeliest}",
        }[state]

    def _found(self, top: Group | None) -> str:
        dead = [s for s in top.suspects if s.sort is Sort.SUPPLY] if top else []
        if top and dead:
            return _dead(top, dead)
        if top is None or top.slip < SLIP_COUNTS or not top.check:
            return f"it is {_either(top)}" if top else ""
        real = [one for one in top.suspects if one.sort is not Sort.SLIP]
        kept = top._replace(suspects=tuple(real))
        return f"it is {_either(kept)}, unless the file misses something: {top.check} first"

    def _healthy(self, top: Group | None) -> str:
        if top and top.chance > self.weights.chance:
            return (
                f"it was {_either(top)}, replaced since; all that was read after is as "
                "expected"
            )
        count = len(self.log.taken)
        every = "the reading is" if count == 1 else f"all {count} readings are"
        if self.odd:
            every = f"{count - len(self.odd)} of {count} readings are"
        words = f"{every} as expected: nothing is wrong that they can show"
        return f"{words}, but take the odd one again" if self.odd else words

    def doubtful(self) -> tuple[Doubtful, ...]:
        """Return the readings to take again: slips whatever is wrong."""
        weights = [self.weights.healthy, *(one.weight for one in self.weights.found)]
        share = np.exp(np.array(weights) - self.weights.total)
        slips = [
            self.weighing.standings[0].slips,
            *(one.slips for one in self.weights.found),
        ]
        chance = share @ np.stack(slips)
        found = []
        for k, taken in enumerate(self.log.taken):
            if chance[k] > DOUBT:
                swapped = self._swapped(k)
                found.append(
                    doubtful(
                        taken.reading, self.good[k], float(chance[k]), swapped=swapped
                    )
                )
        return tuple(found)

    def _swapped(self, k: int) -> bool:
        """Return whether the healthy section shows this with the probes exchanged."""
        one = self.log.taken[k]
        rig = self.weighing.readings.rigs[one.moment]
        turned = rig.healthy((one.black, one.red, one.reading.mode))
        told = measures(np.array([[turned]]), [one.reading.mode])[0, 0]
        seen, scales = self.weighing.seen[k], self.weighing.scales
        if np.isnan(seen.number):
            return seen.sounds == 0 and bool(told > scales.limit[k])
        spread = self.weighing.readings.swayed(None, 0)[k, k]
        off = FITS * np.sqrt(spread + seen.deviation**2 + seen.gain**2)
        return bool(abs(told - seen.number) < max(off, scales.step[k]))

    def lawful(self) -> Iterator[str]:
        """Yield what looks odd at sight and is as it should be."""
        slips = self.weighing.standings[0].slips
        stage = self.weights.scene.traced
        return lawful(stage, self.log, self.healthy, slips, self.profile)

    def conflicts(self) -> tuple[frozenset[str], ...]:
        """Return, for each odd reading, the parts of which one must be to blame."""
        odd = np.flatnonzero(self.weighing.standings[0].slips > DOUBT)
        found: dict[frozenset[str], None] = {}
        readings, scales = self.weighing.readings, self.weighing.scales
        for k in odd:
            number, parts = self.weighing.seen[k].number, set()
            for one in self.weighing.standings[1:]:
                hypothesis = one.hypothesis
                if hypothesis is None or hypothesis.sort is not Sort.PART:
                    continue
                told = readings.shown(hypothesis)[:, k]
                near = FITS * 10 * scales.step[k]
                over = told > scales.limit[k]
                hits = over if np.isnan(number) else np.abs(told - number) < near
                if hits.any():
                    parts |= set(hypothesis.parts)
            if parts:
                found[frozenset(parts)] = None
        return tuple(sorted(found, key=lambda one: (len(one), sorted(one))))

    def untested(self) -> Iterator[str]:
        """Yield parts of which no fault would show in these readings."""
        shows = {
            ref
            for one in self.weighing.standings
            if one.hypothesis and one.hypothesis.sort is Sort.PART
            for ref in one.hypothesis.parts
            if self._shows(one)
        }
        for part in self.weights.scene.stage.parts:
            if self._may_fail(part) and part.ref not in shows:
                yield part.ref

    def _shows(self, one: Standing) -> bool:
        assert one.hypothesis is not None
        told = self.weighing.readings.shown(one.hypothesis)
        same = alike(told, self.healthy, self.weighing.scales)
        return bool((~same).any())

    def _may_fail(self, part: Part) -> bool:
        return any(
            one.hypothesis and part.ref in one.hypothesis.parts
            for one in self.weighing.standings
        )

    def unseen(self) -> Iterator[str]:
        """Yield faults that no reading of a cold section at rest can show."""
        for one in self.weighing.standings:
            hypothesis = one.hypothesis
            if hypothesis and hypothesis.blind and hypothesis.sort is Sort.PART:
                yield hypothesis.words


def _slips_first(group: Group | None) -> str:
    """Return a group's likeliest members in words, slips of the tracing in front."""
    if group is None:
        return ""
    ordered = sorted(group.suspects, key=lambda one: one.sort is not Sort.SLIP)
    return _either(group._replace(suspects=tuple(ordered)))


def _dead(group: Group, dead: Sequence[Suspect]) -> str:
    """Return that a rail may not be there, and what it is if it is."""
    rails = " and ".join(one.nets[0] for one in dead)
    others = tuple(one for one in group.suspects if one.sort is not Sort.SUPPLY)
    words = f"read {rails} itself before any part is condemned"
    if not others:
        return f"{dead[0].words}: {words}"
    return f"{words}; if it is there, it is {_either(group._replace(suspects=others))}"


def _either(group: Group) -> str:
    """Return a group's likeliest members in words."""
    words = [one.words for one in group.suspects[:3]]
    more = len(group.suspects) - len(words)
    if more:
        words.append("another of the group")
    return " or ".join(words)
