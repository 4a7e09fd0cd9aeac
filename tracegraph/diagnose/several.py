"""Several things wrong at once, looked for only where no single one explains it all.

The first is put into the section, and what touches the readings that it leaves
unexplained is weighed on that: a batch for each of the few that explain most. Which
sets to look at, and when to stop, is `best_first`'s business.
"""

from collections.abc import Sequence
from math import inf, log, pi

import numpy as np

from tracegraph.diagnose.best_first import Limits, best_first
from tracegraph.diagnose.foretold import Readings
from tracegraph.diagnose.hypothesis import Hypothesis
from tracegraph.diagnose.likelihood import weigh
from tracegraph.diagnose.rig import Rig
from tracegraph.diagnose.scene import Scene, Weighing, completed
from tracegraph.diagnose.verdict import Sort
from tracegraph.diagnose.weighing import Standing, alike, odds
from tracegraph.network.family import Between, Instead
from tracegraph.stage.change import Tie
from tracegraph.stage.stage import Stage

CLOSER = 9  # values tried to know the first one closer
FIRST = 4  # single things that others are weighed on: the likeliest
LARGER = 2  # sets of two, likewise
MOST = 3  # things wrong at once
ODD = 0.3  # chance of a slip from which a reading counts as not explained
FAR = 25.0  # nats behind the best single one at which nothing grows from it any more
SHARE = 1e-3  # least share of the best set that a set must have
BUDGET = 3000
POWER_RATE = 10.0  # rate of the kinds that take others along when they die

Faults = frozenset[int]


def several(scene: Scene, weighing: Weighing) -> list[Standing]:
    """Return how sets of two and more things that may be wrong stand.

    None where the single ones leave no reading unexplained.
    """
    best = max(weighing.standings, key=lambda one: max(one.weight, one.hidden))
    if not (best.slips > ODD).any():
        return []
    return _Search(scene, weighing).run()


class _Search:
    """What is known of the sets looked at."""

    def __init__(self, scene: Scene, weighing: Weighing) -> None:
        self.scene, self.weighing = scene, weighing
        self.single = weighing.standings
        self.odds = {
            k: log(odds(one.hypothesis.prior))
            for k, one in enumerate(self.single)
            if one.hypothesis and not one.hypothesis.blind and one.hypothesis.prior > 0
        }
        best = max(max(one.weight, one.hidden) for one in self.single)
        self.near = [k for k in self.odds if self.single[k].weight > best - FAR]
        self.near.sort(key=lambda k: -self.single[k].weight)
        self.found: dict[Faults, Standing] = {}
        self.grown: dict[Faults, dict[int, Standing]] = {}
        self.ohms: dict[Faults, float] = {}
        self.healthy = weighing.readings.healthy()
        self.most = sum(
            -0.5 * log(2 * pi * max(one.deviation, 1e-6) ** 2)
            for one in weighing.seen
            if np.isfinite(one.number)
        )

    def run(self) -> list[Standing]:
        priors = {k: min(max(self._prior(k), 1e-9), 0.5) for k in self.odds}
        search = best_first(
            priors,
            self.explained,
            lambda _faults: self.most,
            self.related,
            Limits(SHARE, BUDGET, MOST),
        )
        chosen = [one.faults for one in search if len(one.faults) > 1]
        return [self.found[faults] for faults in chosen]

    def _prior(self, k: int) -> float:
        one = self.single[k].hypothesis
        return one.prior if one else 0.0

    def explained(self, faults: Faults) -> float:
        """Return the logarithm of the density of the readings under a set."""
        if not faults:
            return self.single[0].hidden
        if len(faults) == 1:
            (k,) = faults
            both = np.logaddexp(self.single[k].weight, self.single[k].hidden)
            return float(both) - self.odds[k]
        for last in sorted(faults, key=lambda k: self.single[k].weight):
            grown = self.grown.get(faults - {last})
            if grown and last in grown:
                joined = self._joined(faults - {last}, grown[last])
                self.found[faults] = joined
                return joined.weight - sum(self.odds[k] for k in faults)
        return -inf

    def related(self, faults: Faults) -> Sequence[int]:
        """Return what may join a set: what touches a reading that it leaves odd."""
        if not faults:
            return self.near
        base = self._standing(faults)
        if base is None or not (base.slips > ODD).any():
            return ()
        larger = sum(len(one) > 1 for one in self.grown)
        if len(faults) > 1 and faults not in self.grown and larger >= LARGER:
            return ()
        if faults not in self.grown:
            self.grown[faults] = self._weighed(faults, base)
        grown = self.grown[faults]
        return [k for k, one in grown.items() if one.weight > -inf]

    def _standing(self, faults: Faults) -> Standing | None:
        if len(faults) == 1:
            (k,) = faults
            return self.single[k] if k in self.near[:FIRST] else None
        return self.found.get(faults)

    def _weighed(self, faults: Faults, base: Standing) -> dict[int, Standing]:
        """Weigh what may join a set, with the set in the section."""
        first = base.hypothesis
        assert first is not None
        self.ohms[faults] = self._closer(base)
        changes = first.at(self.ohms[faults])
        rigs = []
        old = self.weighing.readings
        for moment, rig in zip(old.log.moments, old.rigs, strict=True):
            gone = bool(first.parts) and set(first.parts) <= moment.renewed
            stage: Stage = rig.stage if gone else completed(rig.stage, changes)
            nets = rig.stage.nets
            profile = self.scene.profile
            rigs.append(Rig(stage, profile, nets, rig.power, patient=False))
        odd = base.slips > ODD
        chosen = [k for k in self.odds if k not in faults and self._touches(k, odd)]
        others = [self.single[k].hypothesis for k in chosen]
        some = [one for one in others if one is not None and _besides(first, one)]
        chosen = [k for k in chosen if self.single[k].hypothesis in some]
        found = self.scene.weighed(Readings(old.log, rigs), some).standings[1:]
        return dict(zip(chosen, found, strict=True))

    def _closer(self, base: Standing) -> float:
        """Return the likeliest value closer than it is known: it is put in as it is."""
        one = base.hypothesis
        way = one.way if one and one.spread else None
        if one is None or not isinstance(way, Between | Instead):
            return base.ohms
        if not 0 < base.low < base.high < inf:
            return base.ohms
        values = np.geomspace(base.low, base.high, CLOSER)
        finer = one._replace(way=way._replace(ohms=tuple(values.tolist())))
        readings = self.weighing.readings
        readings.add([finer])
        told = readings.shown(finer)
        slip = self.scene.priors.figure("probe.slip")
        shared = readings.swayed(None, 0)
        found = weigh(self.weighing.seen, told, shared, np.zeros_like(told), slip)
        return float(values[found.chance.argmax()])

    def _touches(
        self, k: int, odd: "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]"
    ) -> bool:
        one = self.single[k].hypothesis
        if one is None:
            return False
        told = self.weighing.readings.shown(one)
        same = alike(told, self.healthy, self.weighing.scales)
        return bool((~same[:, odd]).any())

    def _joined(self, faults: Faults, one: Standing) -> Standing:
        """Return a set as one thing that is wrong."""
        base = self._standing(faults)
        assert base is not None
        assert base.hypothesis is not None
        assert one.hypothesis is not None
        first, second = base.hypothesis, one.hypothesis
        changes = (*first.at(self.ohms[faults]), *second.at(one.ohms))
        both = Hypothesis(
            "several",
            f"{first.words} and {second.words}",
            Sort.SEVERAL,
            tuple(dict.fromkeys((*first.parts, *second.parts))),
            tuple(dict.fromkeys((*first.nets, *second.nets))),
            first.prior * second.prior,
            changes,
        )
        # the first one's value was chosen by the readings: what that is worth stays off
        weight = one.weight + base.weight - base.chance + self._together(first, second)
        return one._replace(hypothesis=both, weight=weight, hidden=-inf)

    def _together(self, first: Hypothesis, second: Hypothesis) -> float:
        """Return what makes two faults likelier together, as a logarithm.

        A power device that dies takes along what hangs on its pins; a part that leaks
        between two legs often leaks between others, too.
        """
        if set(first.parts) & set(second.parts):
            again = self.scene.priors.figure("part.other_legs")
            return log(again) - log(odds(second.prior))
        for dead, other in ((first, second), (second, first)):
            if (
                other.sort is Sort.PART
                and self._power(dead)
                and set(dead.nets) & set(other.nets)
            ):
                return log(self.scene.priors.figure("part.died_with"))
        return 0.0

    def _power(self, one: Hypothesis) -> bool:
        parts = [self.scene.stage.part(ref) for ref in one.parts]
        rates = [self.scene.priors.rate(part.kind) for part in parts if part]
        return one.sort is Sort.PART and max(rates, default=0.0) >= POWER_RATE


def _besides(first: Hypothesis, second: Hypothesis) -> bool:
    """Return whether a second thing can be wrong beside the first.

    Two paths between the same nets are one; with one part only leaks or shorts can be
    several, each between legs of its own.
    """
    pairs = {frozenset((c.a, c.b)) for c in first.changes if isinstance(c, Tie)}
    tied = any(isinstance(c, Tie) for c in second.changes)
    if tied and frozenset(second.nets) in pairs:
        return False
    if not set(first.parts) & set(second.parts):
        return True
    every = (*first.changes, *second.changes)
    return first.parts == second.parts and all(isinstance(c, Tie) for c in every)
