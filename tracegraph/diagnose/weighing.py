"""Everything that may be wrong, weighed against all readings together.

First roughly, all at once, with the spread of the healthy section; then what is left in
the running once more, with its own spread and, where a value is not known, at values
close to the likeliest.
"""

from collections.abc import Sequence
from math import inf, isfinite, log
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.foretold import (
    Foretold,
    Readings,
    Told,
    drawn,
    foretold,
    shares,
)
from tracegraph.diagnose.hypothesis import Hypothesis
from tracegraph.diagnose.likelihood import Seen, weigh
from tracegraph.diagnose.valued import likeliest, middle
from tracegraph.network.circuit import Floats, Ints
from tracegraph.network.family import Between, Instead

ROWS = 2000  # weighed at a time
RUNNING = 1e-3  # share of all from which a hypothesis is looked at closely
CLOSELY = 10  # hypotheses looked at closely
FINE = 13  # values worked out around the likeliest one
FINER = 15  # and drawn between two of them: about a per cent apart


class Standing(NamedTuple):
    """How one hypothesis stands after the readings.

    Attributes:
        hypothesis: What it says; None for the healthy section.
        weight: Logarithm of its chance, up to what all have in common; of those of its
            values that the readings tell from the healthy section.
        hidden: The same for its values that read as healthy does.
        told: What it foretells at its likeliest value, as it is worked on.
        slips: Chance of every reading to be a slip, if it is so.
        chance: Logarithm of the density of the readings at its likeliest value.
        ohms: That value; NaN where it has none.
        low: Least value that is likely, 95 %.
        high: Greatest likewise.
    """

    hypothesis: Hypothesis | None
    weight: float
    hidden: float
    told: Floats
    slips: Floats
    chance: float
    ohms: float = float("nan")
    low: float = float("nan")
    high: float = float("nan")


class Scales(NamedTuple):
    """What tells displays apart: steps that a display shows, as it is worked on."""

    step: Floats
    limit: Floats


class _Rows(NamedTuple):
    """Weighed values of one key."""

    foretold: Foretold
    chance: Floats
    slips: Floats


def healthy_standing(
    readings: Readings, seen: Sequence[Seen], slip: float, shared: Floats
) -> Standing:
    """Return how the healthy section stands."""
    told = readings.healthy()
    found = weigh(seen, told, shared, np.zeros_like(told), slip)
    chance = float(found.chance[0])
    return Standing(None, -inf, chance, told[0], found.slips[0], chance)


def standings(
    readings: Readings,
    hypotheses: Sequence[Hypothesis],
    seen: Sequence[Seen],
    slip: float,
    scales: Scales,
) -> list[Standing]:
    """Return how the healthy section, in front, and all hypotheses stand."""
    readings.add(hypotheses)
    shared = readings.swayed(None, 0)
    first = healthy_standing(readings, seen, slip, shared)
    told = _by_key(readings, hypotheses, first.told[None])
    rows = _weighed(told, seen, shared, slip)
    found = [
        _standing(one, rows[readings.key(one)], first.told, scales)
        for one in hypotheses
    ]
    total = _log_sum([first.hidden, *(max(s.weight, s.hidden) for s in found)])
    close = _close(found, total)
    near = _Near(readings, seen, slip, scales, first.told)
    near.prepare([found[k] for k in close])
    for k in close:
        found[k] = near.look(found[k], rows[readings.key(hypotheses[k])])
    return [first, *found]


def _by_key(
    readings: Readings, hypotheses: Sequence[Hypothesis], healthy: Floats
) -> dict[Told, Foretold]:
    found: dict[Told, Foretold] = {}
    for one in hypotheses:
        key = readings.key(one)
        if key not in found:
            found[key] = foretold(readings, one, healthy)
    return found


def _weighed(
    told: dict[Told, Foretold], seen: Sequence[Seen], shared: Floats, slip: float
) -> dict[Told, _Rows]:
    """Weigh the values of all keys, many at a time."""
    if not told:
        return {}
    every = np.concatenate([one.told for one in told.values()])
    extra = np.concatenate([one.extra for one in told.values()])
    chance, slips = np.empty(len(every)), np.empty(every.shape)
    for first in range(0, len(every), ROWS):
        part = slice(first, first + ROWS)
        found = weigh(seen, every[part], shared, extra[part], slip)
        chance[part], slips[part] = found
    place, found_rows = 0, {}
    for key, one in told.items():
        part = slice(place, place + len(one.told))
        found_rows[key] = _Rows(one, chance[part], slips[part])
        place += len(one.told)
    return found_rows


def _standing(
    hypothesis: Hypothesis, rows: _Rows, healthy: Floats, scales: Scales
) -> Standing:
    """Return how a hypothesis stands by its weighed values."""
    foretold, chance, slips = rows
    share = shares(foretold.ohms, hypothesis.ranges)
    with np.errstate(divide="ignore"):
        weights = np.log(share) + chance + log(odds(hypothesis.prior))
    same = alike(foretold.told, healthy, scales).all(axis=1)
    shows = np.where(same, -inf, weights)
    place = likeliest(foretold.ohms, chance, shows, weights)
    low, high = middle(foretold.ohms, shows)
    return Standing(
        hypothesis,
        _log_sum(shows),
        _log_sum(np.where(same, weights, -inf)),
        foretold.told[place],
        slips[place],
        float(chance[place]),
        float(foretold.ohms[place]),
        low,
        high,
    )


def odds(prior: float) -> float:
    """Return the odds of a chance, against its not being so."""
    return prior / max(1 - prior, 1e-9)


def alike(
    told: Floats, other: Floats, scales: Scales
) -> "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]":
    """Return where displays can't be told apart: to a digit or so, or both are OL."""
    over = (told > scales.limit) & (other > scales.limit)
    with np.errstate(invalid="ignore"):
        near = np.abs(told - other) <= scales.step
    return np.asarray(over | near | (np.isnan(told) & np.isnan(other)))


def _log_sum(logs: "Sequence[float] | Floats") -> float:
    table = np.asarray(logs, float)
    top = float(table.max(initial=-inf))
    return top + log(np.exp(table - top).sum()) if isfinite(top) else -inf


def _close(found: Sequence[Standing], total: float) -> list[int]:
    """Return the hypotheses in the running, the likeliest first."""
    weights = [max(one.weight, -1e9) for one in found]
    order = sorted(range(len(found)), key=lambda k: -weights[k])
    return [k for k in order[:CLOSELY] if weights[k] > total + log(RUNNING)]


class _Near:
    """A closer look at hypotheses in the running."""

    def __init__(
        self,
        readings: Readings,
        seen: Sequence[Seen],
        slip: float,
        scales: Scales,
        healthy: Floats,
    ) -> None:
        self.readings, self.seen, self.slip = readings, seen, slip
        self.scales, self.healthy = scales, healthy
        self._known: dict[tuple[Told, int], _Rows] = {}

    def prepare(self, close: Sequence[Standing]) -> None:
        """Lay out the finer values of all that will be looked at."""
        self.readings.add(
            self._finer(one.hypothesis, one.ohms)
            for one in close
            if one.hypothesis and _valued(one)
        )

    def look(self, standing: Standing, rough: _Rows) -> Standing:
        """Return how a hypothesis stands with its own spread, near its likeliest value."""
        one = standing.hypothesis
        assert one is not None
        if _valued(standing):
            finer = self._finer(one, standing.ohms)
            rows = self._rows(finer, self._place(finer, standing.ohms))
            inside = (rough.foretold.ohms >= rows.foretold.ohms[0] * 0.999) & (
                rough.foretold.ohms <= rows.foretold.ohms[-1] * 1.001
            )
            return _standing(
                one, _spliced(rough, rows, ~inside), self.healthy, self.scales
            )
        place = self._value_place(one, standing.ohms)
        exact = self._rows(one, place)
        chance, slips = rough.chance.copy(), rough.slips.copy()
        told = rough.foretold.told.copy()
        at = self._drawn_place(rough, standing)
        chance[at], slips[at], told[at] = (
            exact.chance[place],
            exact.slips[place],
            exact.foretold.told[place],
        )
        return _standing(
            one,
            _Rows(rough.foretold._replace(told=told), chance, slips),
            self.healthy,
            self.scales,
        )

    def _drawn_place(self, rough: _Rows, standing: Standing) -> int:
        ohms = rough.foretold.ohms
        if np.isnan(ohms).all():
            return 0
        return int(np.flatnonzero(ohms == standing.ohms)[0])

    def _value_place(self, one: Hypothesis, ohms: float) -> int:
        if isinstance(one.way, Between | Instead):
            return one.way.ohms.index(ohms)
        return 0

    def _finer(self, one: Hypothesis, ohms: float) -> Hypothesis:
        way = one.way
        assert isinstance(way, Between | Instead)
        known = [value for value in way.ohms if 0 < value < inf]
        place = int(np.abs(np.log(np.array(known) / ohms)).argmin())
        low, high = known[max(place - 1, 0)], known[min(place + 1, len(known) - 1)]
        values = tuple(float(x) for x in np.geomspace(low, high, FINE))
        return one._replace(way=way._replace(ohms=values))

    def _place(self, finer: Hypothesis, ohms: float) -> int:
        way = finer.way
        assert isinstance(way, Between | Instead)
        return int(np.abs(np.log(np.array(way.ohms) / ohms)).argmin())

    def _rows(self, one: Hypothesis, place: int) -> _Rows:
        """Return the values of a hypothesis, weighed with the spread at one of them."""
        key = self.readings.key(one), place
        if key not in self._known:
            told = self.readings.shown(one)
            shared = self.readings.swayed(one, place)
            exact = _exact(one, told)
            found = weigh(self.seen, exact.told, shared, exact.extra, self.slip)
            self._known[key] = _Rows(exact, found.chance, found.slips)
        return self._known[key]


def _valued(one: Standing) -> bool:
    """Return whether a standing has a value that is still to be told."""
    spread = one.hypothesis is not None and one.hypothesis.spread
    return spread and isfinite(one.ohms) and one.ohms > 0


def _exact(one: Hypothesis, told: Floats) -> Foretold:
    """Return values as they are foretold, those in between drawn."""
    still = np.zeros_like(told)
    if isinstance(one.way, Between | Instead) and one.spread and len(told) > 1:
        return drawn(one.way, told, still, FINER)
    ohms = np.full(len(told), np.nan)
    if isinstance(one.way, Between | Instead) and len(told) == len(one.way.ohms):
        ohms = np.array(one.way.ohms)
    return Foretold(told, still, ohms)


def _spliced(rough: _Rows, fine: _Rows, keep: Ints | Floats) -> _Rows:
    """Return fine values in the place of the rough ones there."""
    rows = np.flatnonzero(keep)
    ohms = np.concatenate([rough.foretold.ohms[rows], fine.foretold.ohms])
    order = np.argsort(ohms, kind="stable")

    def both(one: Floats, other: Floats) -> Floats:
        return np.concatenate([one[rows], other])[order]

    foretold = Foretold(
        both(rough.foretold.told, fine.foretold.told),
        both(rough.foretold.extra, fine.foretold.extra),
        ohms[order],
    )
    return _Rows(
        foretold, both(rough.chance, fine.chance), both(rough.slips, fine.slips)
    )
