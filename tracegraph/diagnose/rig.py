"""A section with all that may be wrong with it, and what each thing would show.

Everything that may be wrong is laid out once as rows: the healthy section first, then
a row for every value of every way to be wrong. A reading is a column, worked out when
it is first asked for and kept.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.hypothesis import Hypothesis
from tracegraph.diagnose.live import Live
from tracegraph.diagnose.pausing import breathe
from tracegraph.meter.profile import Profile
from tracegraph.meter.tried import Shown, Swayed, Usual, swayed, tried
from tracegraph.network.altered import Compiled, altered, compiled
from tracegraph.network.circuit import Floats, Ints, UnknownValueError
from tracegraph.network.family import (
    Between,
    Dead,
    Family,
    Instead,
    Repin,
    Way,
    alone,
    family,
    variants_of,
)
from tracegraph.stage.alter import ChangeError
from tracegraph.stage.reading import COLD, Mode
from tracegraph.stage.stage import Stage

TOGETHER = 24  # bypasses in one structure
HEALTHY = slice(0, 1)  # the first row

Key = Way | str
Asked = tuple[str, str, Mode]


class _Block(NamedTuple):
    """Rows that share a structure: made when it is needed."""

    ways: tuple[Way, ...]
    first: int
    width: int
    blind: bool = False


class Rig:
    """A section, its rows and its columns.

    Attributes:
        stage: The section as it stood.
        profile: The meter.
        power: `cold`, or the state that it is powered in: only volts are read of it.
        live: The section under power; None for a cold one.
        count: How many rows there are.
    """

    def __init__(
        self,
        stage: Stage,
        profile: Profile,
        nets: Iterable[str] = (),
        power: str = COLD,
        *,
        patient: bool = True,
    ) -> None:
        """Take a section; only its healthy row is laid out.

        Args:
            stage: The section.
            profile: The meter.
            nets: Nets that may be probed besides, whatever is left on them.
            power: `cold`, or the state that it is powered in, put into it already.
            patient: Whether levels that are not found at once are worth the time.

        Raises:
            UnknownValueError: The section has a branch without a typical value.
        """
        self.stage = stage
        self.profile = profile
        self.power = power
        self.count = 1
        self._base: Compiled = compiled(stage, power, nets)
        self.live = None
        if power != COLD:
            self.live = Live(self._base, profile, patient=patient)
        self._blocks = [_Block((), 0, 1)]
        self._families: dict[int, Family] = {0: alone(self._base)}
        self._rows: dict[Key, slice] = {}
        self._seen: dict[tuple[int, Asked, int], tuple[Floats, Ints]] = {}
        self._swayed: dict[tuple[int, Asked, int], Swayed] = {}
        self._last: tuple[tuple[tuple[tuple[str, str], ...], Mode], Usual] | None = None

    def add(self, hypotheses: Iterable[Hypothesis]) -> None:
        """Lay out the rows of things that may be wrong; those known already stay.

        What the section can't be wrong in, a resistor that is out say, shows nothing.
        """
        ways: dict[Way, bool] = {}
        for one in hypotheses:
            key = key_of(one)
            if key in self._rows:
                continue
            if one.way is None:
                self._alone(key, one)
            elif self._has(one.way):
                ways[one.way] = one.blind
            else:
                self._rows[key] = HEALTHY
        for blind in (False, True):
            chosen = [way for way, is_blind in ways.items() if is_blind is blind]
            for group in _groups(chosen):
                self._together(group, blind=blind)

    @property
    def ways(self) -> int:
        """In how many ways the section may stand: one but for a latch under power."""
        return self.live.ways if self.live else 1

    def _has(self, way: Way) -> bool:
        if isinstance(way, Between):
            return {way.a, way.b} <= self._base.circuit.nodes.keys()
        if isinstance(way, Dead):
            return self.live is not None
        part = self.stage.part(way.part)
        return part is not None and part.fitted

    def _together(self, group: tuple[Way, ...], *, blind: bool) -> None:
        first = self.count
        for way in group:
            width = variants_of(way)
            self._rows[way] = slice(self.count, self.count + width)
            self.count += width
        self._blocks.append(_Block(group, first, self.count - first, blind))

    def _alone(self, key: Key, one: Hypothesis) -> None:
        """Lay out what needs a structure of its own; what can't be done shows nothing."""
        try:
            after = altered(self._base, one.changes, keep_names=True)
        except (ChangeError, UnknownValueError):
            self._rows[key] = HEALTHY
            return
        self._families[len(self._blocks)] = alone(after)
        self._rows[key] = slice(self.count, self.count + 1)
        self._blocks.append(_Block((), self.count, 1, one.blind))
        self.count += 1

    def rows(self, hypothesis: Hypothesis) -> slice:
        """Return the rows of a hypothesis: one for each value of its way."""
        return self._rows.get(key_of(hypothesis), HEALTHY)

    def column(self, asked: Asked, way: int = 0) -> Shown:
        """Return what a reading shows in every row.

        Under power a row of which no steady level was found reads as the section does:
        it is no evidence.

        Args:
            asked: The reading.
            way: Of the ways that the section may stand in.
        """
        self.work_out([asked])
        parts = [self._seen[k, asked, way] for k in range(len(self._blocks))]
        values, scale = (np.concatenate(each) for each in zip(*parts, strict=True))
        if self.live:
            lost = np.isnan(values)
            values, scale = (np.where(lost, each[0], each) for each in (values, scale))
        return Shown(values, scale)

    def values(self, asked: Sequence[Asked], rows: Sequence[int]) -> Floats | None:
        """Return what readings show in some rows, (rows, readings), if it is known."""
        table = np.empty((len(rows), len(asked)))
        firsts = [block.first for block in self._blocks]
        index = np.searchsorted(firsts, rows, side="right") - 1
        for block in set(index.tolist()):
            chosen = np.flatnonzero(index == block)
            places = np.asarray(rows)[chosen] - firsts[block]
            for k, one in enumerate(asked):
                if (block, one, 0) not in self._seen:
                    return None
                table[chosen, k] = self._seen[block, one, 0][0][places]
        return table

    def healthy(self, asked: Asked) -> float:
        """Return what a reading shows of the section itself, nothing else worked out."""
        if (0, asked, 0) not in self._seen:
            self._work_out(0, [asked], asked[2])
        return float(self._seen[0, asked, 0][0][0])

    def work_out(self, asked: Sequence[Asked]) -> None:
        """Work out several readings at once, as far as they are not known yet."""
        for index in range(len(self._blocks)):
            self._complete(index, asked)

    def _complete(self, index: int, asked: Sequence[Asked]) -> None:
        """Work out what readings show in the rows of one block."""
        for mode in dict.fromkeys(mode for _, _, mode in asked):
            new = [
                one
                for one in dict.fromkeys(asked)
                if one[2] is mode and (index, one, 0) not in self._seen
            ]
            if new and self._blocks[index].blind and mode is not Mode.CAP:
                self._as_healthy(index, new)
            elif new:
                breathe()
                self._work_out(index, new, mode)

    def _as_healthy(self, index: int, asked: Sequence[Asked]) -> None:
        count = self._blocks[index].width
        self._complete(0, asked)
        for one in asked:
            for way in range(self.ways):
                values, scale = self._seen[0, one, way]
                whole = np.repeat(values, count), np.repeat(scale, count)
                self._seen[index, one, way] = whole

    def _work_out(self, index: int, asked: Sequence[Asked], mode: Mode) -> None:
        own = self._family(index)
        pairs = [(red, black) for red, black, _ in asked]
        if self.live:
            for way in range(self.ways):
                self._keep(index, asked, self.live.shown(index, own, pairs, way), way)
            return
        usual = None if mode is Mode.CAP else self._usual(tuple(pairs), mode)
        if index == 0 and usual:
            shown = usual.shown
        else:
            shown = tried(own, own.nodes(pairs), mode, self.profile, usual)
        self._keep(index, asked, shown)

    def _keep(
        self, index: int, asked: Sequence[Asked], shown: Shown, way: int = 0
    ) -> None:
        for k, one in enumerate(asked):
            self._seen[index, one, way] = shown.values[:, k], shown.scale[:, k]

    def _usual(self, pairs: tuple[tuple[str, str], ...], mode: Mode) -> Usual:
        """Return the section's own readings, kept while its blocks are worked out."""
        if self._last is None or self._last[0] != (pairs, mode):
            own = self._families[0]
            self._last = (pairs, mode), Usual(own, own.nodes(pairs), mode, self.profile)
        return self._last[1]

    def _family(self, index: int) -> Family:
        if index not in self._families:
            self._families[index] = family(self._base, self._blocks[index].ways)
        return self._families[index]

    def swayed(self, row: int, asked: Sequence[Asked], way: int = 0) -> list[Swayed]:
        """Return how readings of one row move with the spread of healthy parts."""
        every = dict.fromkeys(asked)
        new = [one for one in every if (row, one, way) not in self._swayed]
        if new:
            self._sway(row, new, way)
        return [self._swayed[row, one, way] for one in asked]

    def _sway(self, row: int, asked: Sequence[Asked], way: int) -> None:
        index = next(
            k
            for k, block in enumerate(self._blocks)
            if block.first <= row < block.first + block.width
        )
        own, variant = self._family(index), row - self._blocks[index].first
        self._complete(index, asked)  # the other blocks are not asked
        start: Floats | None = None
        if self.live:
            own, start = self.live.standing(index, own, variant, way)
        groups = self._by_scale(index, variant, asked, way)
        for on, places in groups.items():
            breathe()
            nodes = own.nodes([asked[k][:2] for k in places])
            moved = swayed(own, variant, nodes, on, self.profile, start)
            for place, k in enumerate(places):
                effect = moved.effect[place]
                self._swayed[row, asked[k], way] = Swayed(moved.names, effect)

    def _by_scale(
        self, index: int, variant: int, asked: Sequence[Asked], way: int
    ) -> dict[tuple[Mode, int], list[int]]:
        groups: dict[tuple[Mode, int], list[int]] = {}
        for k, one in enumerate(asked):
            scale = int(self._seen[index, one, way][1][variant])
            groups.setdefault((one[2], scale), []).append(k)
        return groups


def key_of(hypothesis: Hypothesis) -> Key:
    """Return what tells a hypothesis' rows from others: hypotheses alike share them."""
    return hypothesis.way or repr(hypothesis.changes)


def _groups(ways: Sequence[Way]) -> Iterator[tuple[Way, ...]]:
    """Yield ways that share a structure; all of one part's pins together."""
    for kind in (Between, Instead, Dead):
        simple = [way for way in ways if isinstance(way, kind)]
        for first in range(0, len(simple), TOGETHER):
            yield tuple(simple[first : first + TOGETHER])
    by_part: dict[str, list[Repin]] = {}
    for way in ways:
        if isinstance(way, Repin):
            by_part.setdefault(way.part, []).append(way)
    group: list[Way] = []
    joints = 0
    for own in by_part.values():
        width = len({pin for way in own for pin in way.pins})
        if group and joints + width > TOGETHER:
            yield tuple(group)
            group, joints = [], 0
        group += own
        joints += width
    if group:
        yield tuple(group)
