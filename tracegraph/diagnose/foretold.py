"""What every thing that may be wrong foretells of the readings, and how surely.

Values of a way between those worked out are drawn in between; how far that may be off
counts as a spread of its own, as does that the spread of healthy parts is taken from
the healthy section at first.
"""

from collections.abc import Iterable, Sequence
from functools import cached_property, lru_cache
from math import inf, isfinite, log
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.hypothesis import EXCHANGED, Hypothesis, Range
from tracegraph.diagnose.likelihood import in_volts, measures
from tracegraph.diagnose.moments import Log
from tracegraph.diagnose.rig import Asked, Key, Rig, key_of
from tracegraph.meter.tried import Swayed
from tracegraph.network.circuit import Floats, Ints
from tracegraph.network.family import Between, Dead, Instead, Repin
from tracegraph.stage.reading import Mode

BETWEEN = 3  # values drawn in between two that were worked out
BENT = 0.12  # part of a step by which a drawn value may be off in its middle
DIODE_OFF, OHMS_OFF = 0.02, 0.08  # spread beside the healthy section's, at most
LIVE_OFF = 0.5  # likewise in volts of a live net, whose rails spread by per cents
FAINT, FAINT_OFF = log(1e6), 1.2  # above it leaks decide: they span decades
SHARE_OFF = 0.25  # and as a part of what has moved, volts; of a logarithm a fifth of it
NEAR, NEAR_SHARE = 0.1, 0.03  # volts, and part of them, that a latch may be off by
FAR_OFF = 5.0  # times that, from which it only counts as wrong
THIRD = 1 / 3  # variance of what runs evenly from -1 to 1


Told = tuple[Key, tuple[bool, ...]]


class Foretold(NamedTuple):
    """What values of one hypothesis foretell, as it is worked on.

    Attributes:
        told: Displays, (values, readings).
        extra: Variances of their own, likewise.
        ohms: The values; NaN where there is none.
    """

    told: Floats
    extra: Floats
    ohms: Floats


class Readings:
    """Readings with their rigs: what is asked of which board.

    Attributes:
        log: The readings.
        rigs: One for each moment.
        asked: For each reading what its rig is asked.
    """

    def __init__(self, log: Log, rigs: Sequence[Rig]) -> None:
        """Take readings and the boards that they were taken of."""
        self.log = log
        self.rigs = tuple(rigs)
        self.asked: tuple[Asked, ...] = tuple(
            (one.red, one.black, one.reading.mode) for one in log.taken
        )
        self.modes = tuple(one.reading.mode for one in log.taken)
        self._taken_ways: tuple[Ints, ...] = ()

    def _of(self, moment: int) -> list[int]:
        return [k for k, one in enumerate(self.log.taken) if one.moment == moment]

    def healthy(self) -> Floats:
        """Return what the healthy section shows, (1, readings)."""
        return self.shown(None)

    def shown(self, hypothesis: Hypothesis | None) -> Floats:
        """Return what a hypothesis shows at the values of its way, (values, readings)."""
        found = []
        for moment, (rig, table) in enumerate(zip(self.rigs, self.tables, strict=True)):
            rows = slice(0, 1)
            if hypothesis is not None and not self._renewed(hypothesis, moment):
                rows = rig.rows(hypothesis)
            found.append(table[rows])
        if len(found) == 1:
            return found[0]
        height = max(len(part) for part in found)
        whole = np.empty((height, len(self.asked)))
        for moment, part in enumerate(found):
            whole[:, self._places[moment]] = part
        return whole

    @cached_property
    def _places(self) -> tuple[list[int], ...]:
        return tuple(self._of(moment) for moment in range(len(self.rigs)))

    @cached_property
    def tables(self) -> tuple[Floats, ...]:
        """What every row of every rig shows, as it is worked on, (rows, its readings)."""
        chosen = (
            self._nearest(moment, self._ways(moment))
            for moment in range(len(self.rigs))
        )
        tables, self._taken_ways = zip(*chosen, strict=True)
        return tables

    def _ways(self, moment: int) -> Floats:
        """Return what a moment's readings show, (ways, rows, readings)."""
        rig, places = self.rigs[moment], self._places[moment]
        own, modes = [self.asked[k] for k in places], [self.modes[k] for k in places]
        if not own:
            return np.zeros((1, rig.count, 0))
        rig.work_out(own)
        tables = [
            np.stack([rig.column(one, way).values for one in own], axis=1)
            for way in range(rig.ways)
        ]
        return np.stack([measures(table, modes) for table in tables])

    def _nearest(self, moment: int, ways: Floats) -> tuple[Floats, Ints]:
        """Return the way of every row that the readings fit best, and which it is.

        A latch may have stood either way: both are allowed.
        """
        if len(ways) == 1:
            return ways[0], np.zeros(ways.shape[1], np.intp)
        shown = [self.log.taken[k].reading.shown for k in self._places[moment]]
        seen = np.array([float(one) for one in shown])
        off = np.abs(ways - seen) / (NEAR + NEAR_SHARE * np.abs(seen))
        best = np.minimum(off, FAR_OFF).sum(axis=2).argmin(axis=0)
        return ways[best, np.arange(ways.shape[1])], best

    def taken_way(self, moment: int, row: int) -> int:
        """Return in which way a row of a moment's rig is taken to stand."""
        return int(self._taken_ways[moment][row]) if self.tables else 0

    def add(self, hypotheses: Iterable[Hypothesis]) -> None:
        """Lay out more that may be wrong."""
        some = list(hypotheses)
        before = [rig.count for rig in self.rigs]
        for rig in self.rigs:
            rig.add(some)
        if before != [rig.count for rig in self.rigs]:
            self.__dict__.pop("tables", None)

    def _renewed(self, hypothesis: Hypothesis, moment: int) -> bool:
        """Return whether what it blames was replaced before a moment.

        A new part does not mend the file: pins exchanged there stay so.
        """
        renewed = self.log.moments[moment].renewed
        blamed = set() if hypothesis.name == EXCHANGED else set(hypothesis.parts)
        return bool(blamed) and blamed <= renewed

    def key(self, hypothesis: Hypothesis) -> Told:
        """Return what tells what a hypothesis foretells: hypotheses alike share it."""
        moments = range(len(self.rigs))
        gone = tuple(self._renewed(hypothesis, moment) for moment in moments)
        return key_of(hypothesis), gone

    def swayed(self, hypothesis: Hypothesis | None, place: int) -> Floats:
        """Return the covariance of the readings at one value of a hypothesis."""
        effects: list[Swayed | None] = [None] * len(self.asked)
        for moment, rig in enumerate(self.rigs):
            own = self._of(moment)
            by_row: dict[int, list[int]] = {}
            for k in own:
                row = 0
                if hypothesis is not None and not self._renewed(hypothesis, moment):
                    rows = rig.rows(hypothesis)
                    row = min(rows.start + place, rows.stop - 1)
                by_row.setdefault(row, []).append(k)
            for row, places in by_row.items():
                way = self.taken_way(moment, row)
                moved = rig.swayed(row, [self.asked[k] for k in places], way)
                for k, one in zip(places, moved, strict=True):
                    effects[k] = one
        return _covariance([one for one in effects if one is not None])


def _covariance(effects: Sequence[Swayed]) -> Floats:
    """Return the covariance of readings that share their variables by name."""
    names = {name: k for k, name in enumerate({n for e in effects for n in e.names})}
    table = np.zeros((len(effects), len(names)))
    for row, one in enumerate(effects):
        table[row, [names[name] for name in one.names]] = one.effect
    return np.asarray(table @ table.T * THIRD)


def foretold(readings: Readings, hypothesis: Hypothesis, healthy: Floats) -> Foretold:
    """Return what a hypothesis foretells, at its values and in between."""
    told = readings.shown(hypothesis)
    extra = _off(told, healthy, readings.modes)
    way = hypothesis.way
    if way is None or isinstance(way, Repin | Dead) or len(told) == 1:
        return Foretold(told, extra, np.full(len(told), np.nan))
    return drawn(way, told, extra)


def _off(told: Floats, healthy: Floats, modes: Sequence[Mode]) -> Floats:
    """Return how far the healthy section's spread may be off, as variances."""
    volts = np.array([in_volts(mode) for mode in modes], np.bool_)
    live = np.array([mode is Mode.VOLTS for mode in modes], np.bool_)
    with np.errstate(invalid="ignore"):
        moved = np.abs(told - healthy)
    moved = np.where(np.isfinite(moved), moved, inf)
    moved = np.where(np.isinf(told) & np.isinf(healthy), 0.0, moved)
    faint = ~volts & (told > FAINT)
    most = np.where(volts, DIODE_OFF, np.where(faint, FAINT_OFF, OHMS_OFF))
    most = np.where(live, LIVE_OFF, most)
    part = np.where((volts & ~live) | faint, SHARE_OFF, SHARE_OFF / 5)
    return np.asarray(np.minimum(most, np.nan_to_num(part * moved, posinf=inf)) ** 2)


def drawn(
    way: Between | Instead, told: Floats, extra: Floats, between: int = BETWEEN
) -> Foretold:
    """Return values drawn between those worked out, evenly by equal ratios.

    Args:
        way: The way, with the values that were worked out.
        told: What they foretell, (values, readings).
        extra: Variances of their own, likewise.
        between: How many are drawn in between two.
    """
    low, high, part, ohms = _stations(way.ohms, between)
    one, other, step = told[low], told[high], part[:, None]
    known = np.isfinite(one) & np.isfinite(other)
    first, last = np.where(known, one, 0.0), np.where(known, other, 0.0)
    nearest = np.where(step < 0.5, one, other)
    row = np.where(known, first + step * (last - first), nearest)
    off = np.where(known, BENT * 4 * step * (1 - step) * (last - first), 0.0)
    return Foretold(row, np.maximum(extra[low], extra[high]) + off**2, ohms)


@lru_cache(maxsize=256)
def _stations(
    ohms: tuple[float, ...], between: int
) -> tuple[Ints, Ints, Floats, Floats]:
    """Return between which two values each drawn one lies, how far, and what it is."""
    low, high, part, value = [0], [0], [0.0], [ohms[0]]
    for k in range(len(ohms) - 1):
        one, other = ohms[k], ohms[k + 1]
        steps = range(1, between + 1) if one > 0 and isfinite(other) else ()
        for step in (each / (between + 1) for each in steps):
            low.append(k)
            high.append(k + 1)
            part.append(step)
            value.append(one ** (1 - step) * other**step)
        low.append(k + 1)
        high.append(k + 1)
        part.append(0.0)
        value.append(other)
    return (
        np.array(low, np.intp),
        np.array(high, np.intp),
        np.array(part),
        np.array(value),
    )


def shares(ohms: Floats, ranges: Sequence[tuple[Range, float]]) -> Floats:
    """Return the prior share of every value, evenly by equal ratios within the ranges.

    A value stands for the stretch up to the middles towards its neighbours.
    """
    if np.isnan(ohms).all():
        return np.ones(len(ohms)) / len(ohms)
    found = np.zeros(len(ohms))
    finite = np.flatnonzero((ohms > 0) & np.isfinite(ohms))
    logs = np.log(ohms[finite])
    middles = (logs[1:] + logs[:-1]) / 2
    begin = np.concatenate([logs[:1], middles])
    end = np.concatenate([middles, logs[-1:]])
    for span, share in ranges:
        if span.low == span.high:
            found[_nearest(ohms, span.low)] += share
            continue
        low, high = log(span.low), log(span.high)
        inside = np.clip(np.minimum(end, high) - np.maximum(begin, low), 0.0, None)
        total = inside.sum()
        if total > 0:
            found[finite] += share * inside / total
    return found


def _nearest(ohms: Floats, value: float) -> int:
    if value == 0.0 or not isfinite(value):
        return int(np.flatnonzero(ohms == value)[0])
    known = np.where((ohms > 0) & np.isfinite(ohms), ohms, 1e-300)
    return int(np.abs(np.log(known / value)).argmin())
