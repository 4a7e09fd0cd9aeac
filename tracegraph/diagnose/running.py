"""What is in the running, with its shares, and what it foretells of the next reading."""

from collections.abc import Sequence
from math import exp, isfinite, log
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.grouping import suspect
from tracegraph.diagnose.hypothesis import Hypothesis
from tracegraph.diagnose.information import expected_bits
from tracegraph.diagnose.likelihood import measures
from tracegraph.diagnose.outcomes import chances, outcomes_of, padded, usual_spread
from tracegraph.diagnose.rig import Asked, Rig
from tracegraph.diagnose.weighing import Standing
from tracegraph.diagnose.weights import Weights
from tracegraph.network.circuit import Floats
from tracegraph.network.family import Between, Instead
from tracegraph.stage.stage import Stage

MOST = 48  # things that are asked what they foretell
FAINT = 1e-6  # share of all under which a thing is not asked
VALUES = 3  # of a thing whose value is not known yet
KEEN = 0.2  # how much less displays spread once what they share is known


class _Row(NamedTuple):
    """A thing at one of its values."""

    words: str
    share: float
    hypothesis: Hypothesis
    ohms: float


class Running:
    """Things in the running, a row each of their values, the healthy section in front.

    Attributes:
        names: What every row is.
        shares: How likely it is.
    """

    def __init__(
        self,
        weights: Weights,
        stage: Stage,
        among: Sequence[Standing] | None = None,
        rig: Rig | None = None,
    ) -> None:
        """Take what is in the running.

        Args:
            weights: The readings so far, weighed.
            stage: The section as it would stand for the next reading.
            among: The few things that are left, to be told apart by small differences;
                else everything, the healthy section too.
            rig: The rig of that section; that of the board as it lies if left out.
        """
        keen = among is not None
        self.profile = weights.scene.profile
        self.keen, self.slip = keen, weights.scene.priors.figure("probe.slip")
        chosen = _likeliest(weights) if among is None else among
        rows = [row for one in chosen for row in _rows(one, weights)]
        healthy = (
            0.0 if keen else exp(weights.weighing.standings[0].hidden - weights.total)
        )
        self.names = ["healthy", *(row.words for row in rows)]
        self.shares = np.array([healthy, *(row.share for row in rows)])
        self._rows, self._stage = rows, stage
        self._sketch: Rig | None = None
        self._warm = rig or weights.scene.rig(weights.log.moments[weights.log.now])

    def told(self, asked: Sequence[Asked]) -> Floats:
        """Return what every row foretells, as it is worked on, (rows, readings)."""
        if not asked:
            return np.zeros((len(self.names), 0))
        whole = None
        cold = self._warm.live is None and self._stage is self._warm.stage
        if cold and not self.keen:  # near enough
            places = [self._nearest(row) for row in self._rows]
            whole = self._warm.values(asked, [0, *places])
        if whole is None:
            rig, places = self._sketched()
            rig.work_out(asked)
            whole = np.stack([rig.column(one).values for one in asked], axis=1)
            whole = whole[[0, *places]]
        return measures(whole, [mode for _, _, mode in asked])

    def _sketched(self) -> tuple[Rig, list[int]]:
        """Return a rig of these rows only, and where they stand in it."""
        ways = [_only(row) for row in self._rows]
        if self._sketch is None:
            nets, power = self._warm.stage.nets, self._warm.power
            self._sketch = Rig(self._stage, self.profile, nets, power, patient=False)
            self._sketch.add(ways)
        return self._sketch, [self._sketch.rows(one).start for one in ways]

    def _nearest(self, row: _Row) -> int:
        """Return the row of the full rig that is nearest to a value."""
        rows, way = self._warm.rows(row.hypothesis), row.hypothesis.way
        if not isinstance(way, Between | Instead) or rows.stop - rows.start == 1:
            return int(rows.start)
        if row.ohms in way.ohms:
            return int(rows.start + way.ohms.index(row.ohms))
        off = [
            abs(log(one / row.ohms)) if one > 0 and isfinite(one) else 1e9
            for one in way.ohms
        ]
        return int(rows.start + off.index(min(off)))

    def bits(self, asked: Sequence[Asked], told: Floats) -> Floats:
        """Return the information that is expected of every reading."""
        tables, order = [], []
        for mode in dict.fromkeys(mode for _, _, mode in asked):
            places = [k for k, one in enumerate(asked) if one[2] is mode]
            order += places
            keen = KEEN if self.keen else 1.0
            of = outcomes_of(mode, self.profile, keen)
            spread = keen * self.spread([asked[k] for k in places])
            tables.append(chances(told[:, places], spread, of, self.slip))
        bits = np.zeros(len(asked))
        if tables:
            bits[order] = expected_bits(self.shares, padded(tables).transpose(1, 0, 2))
        return bits

    def spread(self, asked: Sequence[Asked]) -> Floats:
        """Return how far readings of healthy sections spread, a deviation each."""
        usual = np.array([usual_spread(mode) for _, _, mode in asked])
        if self._stage is not self._warm.stage:
            return usual
        moved = self._warm.swayed(0, asked)
        own = np.sqrt([float((one.effect**2).sum()) / 3 for one in moved])
        return np.asarray(np.maximum(usual / 2, np.where(own > 0, own, usual)))


def _likeliest(weights: Weights) -> list[Standing]:
    floor = weights.total + log(FAINT)
    some = [
        one
        for one in weights.found
        if np.logaddexp(one.weight, one.hidden) > floor
        and one.hypothesis is not None
        and not one.hypothesis.blind
    ]
    some.sort(key=lambda one: -float(np.logaddexp(one.weight, one.hidden)))
    return some[:MOST]


def _rows(one: Standing, weights: Weights) -> list[_Row]:
    """Return a standing at a few of its values."""
    hypothesis = one.hypothesis
    assert hypothesis is not None
    words = suspect(one, weights.total).words
    share = exp(float(np.logaddexp(one.weight, one.hidden)) - weights.total)
    values: tuple[float, ...] = (one.ohms,)
    if hypothesis.spread and not (isfinite(one.weight) and one.high < 2 * one.low):
        values = _quantiles(hypothesis)
        if not isfinite(one.weight):
            words = hypothesis.words
    elif hypothesis.ranges and not isfinite(one.weight):
        values = (hypothesis.ranges[0][0].low,)
    return [_Row(words, share / len(values), hypothesis, ohms) for ohms in values]


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


def _only(row: _Row) -> Hypothesis:
    """Return a thing at one value only."""
    way = row.hypothesis.way
    if not isinstance(way, Between | Instead):
        return row.hypothesis
    return row.hypothesis._replace(way=way._replace(ohms=(row.ohms,)))
