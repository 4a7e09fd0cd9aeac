"""The ways that what a section leaves open may fall, as far as readings care.

A cold rail is neither a source nor open: what hangs on it is unknown until measured. So
a section with unknowns is several sections, each with its share; those that the
readings speak for are kept.
"""

from collections.abc import Sequence
from math import log, nan
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.likelihood import Seen, measures, seen, weigh
from tracegraph.diagnose.moments import Log, Taken
from tracegraph.meter.instrument import show
from tracegraph.meter.profile import Profile
from tracegraph.meter.unknowns.boards import Board, Boards, Picks
from tracegraph.meter.unknowns.every import unknowns
from tracegraph.meter.unknowns.parts import chips
from tracegraph.meter.unknowns.rests import rests
from tracegraph.meter.unknowns.table import nodes_of
from tracegraph.network.circuit import Floats
from tracegraph.stage.change import Change
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

KEPT = 3  # worlds that are gone on with, the most usual one always
FAR = 30.0  # nats behind the best one at which a world is given up: a fault costs some
UNSURE = 0.05  # standard deviation of a display by the spread of parts, for this choice
DIFFERS = 0.01  # volts, or part of an ohms reading, by which worlds are told apart
MOST = 40  # unknowns tried, those in front first


Asked = tuple[str, str, Mode]
Known = dict[tuple[Picks, Asked], float]


class World(NamedTuple):
    """One way that what is unknown of a section may fall.

    Attributes:
        words: What it is, such as `R15: 10 k`; empty for the most usual.
        changes: What completes the section.
        share: How usual it is, among those kept.
        live: What completes the section under power, where what hangs on a rail or an
            input is its source.
    """

    words: str
    changes: tuple[Change, ...]
    share: float
    live: tuple[Change, ...] = ()


class _Tried(NamedTuple):
    picks: Picks
    share: float
    told: Floats
    chance: float


def worlds_of(
    stage: Stage, log: Log, profile: Profile, slip: float, known: Known | None = None
) -> tuple[World, ...]:
    """Return the worlds that matter, the likeliest first, their shares summing to one.

    Args:
        stage: The section as traced.
        log: Its readings; those of the board as it was at first tell the worlds apart.
        profile: The meter.
        slip: Chance that a reading is a slip of the probe.
        known: What boards of this section show, as far as worked out; it grows.
    """
    boards = Boards(stage, unknowns(stage))
    taken = [one for one in log.taken if _plain(one, log)]
    readings = [seen(one.reading, profile) for one in taken]
    search = _Search(
        boards, taken, readings, (profile, slip), {} if known is None else known
    )
    kept = search.run()
    best = max(one.chance + log_share(one) for one in kept)
    near = [
        one
        for one in kept
        if one.chance + log_share(one) > best - FAR or not any(one.picks)
    ]
    total = sum(one.share for one in near)
    return tuple(_world(boards, one, total) for one in near)


def log_share(one: _Tried) -> float:
    """Return the logarithm of how usual a world is."""
    return log(max(one.share, 1e-12))


def _plain(one: Taken, log: Log) -> bool:
    """Return whether a reading was taken of the board with nothing done to it yet."""
    moment = log.moments[one.moment]
    cold = one.reading.condition.cold
    return cold and not moment.done and not one.reading.condition.changes


def _world(boards: Boards, one: _Tried, total: float) -> World:
    chosen = list(zip(boards.unknowns, one.picks, strict=True))
    changes = tuple(c for u, pick in chosen for c in u.alternatives[pick].changes)
    told = (f"{u.subject}: {u.alternatives[pick].words}" for u, pick in chosen if pick)
    cold = {rest.subject for rest in rests(boards.section)}
    cold |= {chip.subject for chip in chips(boards.section)}
    live = tuple(
        change
        for unknown, pick in chosen
        if unknown.subject not in cold
        for change in unknown.alternatives[pick].changes
    )
    return World(", ".join(told), changes, one.share / total, live)


class _Search:
    """Tries one unknown after the other, and keeps the likeliest few boards."""

    def __init__(
        self,
        boards: Boards,
        taken: Sequence[Taken],
        readings: Sequence[Seen],
        rules: tuple[Profile, float],
        shown: Known,
    ) -> None:
        self.boards, self.taken, self.readings = boards, taken, readings
        self.profile, self.slip = rules
        self._shown = shown
        self._known: dict[Picks, _Tried] = {}

    def run(self) -> list[_Tried]:
        usual = (0,) * len(self.boards.unknowns)
        kept = [self._tried(usual)]
        for index, unknown in enumerate(self.boards.unknowns[:MOST]):
            if not self._moves(usual, index):
                continue
            more = [
                self._tried((*one.picks[:index], pick, *one.picks[index + 1 :]))
                for one in kept
                for pick in range(len(unknown.alternatives))
            ]
            kept = self._best(more)
        return kept

    def _moves(self, usual: Picks, index: int) -> bool:
        """Return whether the extremes of an unknown alone move any reading."""
        if not self.taken:
            return False
        first = self._tried(usual).told
        for pick in range(1, len(self.boards.unknowns[index].alternatives)):
            other = self._tried((*usual[:index], pick, *usual[index + 1 :])).told
            if _differ(first, other):
                return True
        return False

    def _best(self, tried: Sequence[_Tried]) -> list[_Tried]:
        """Return the likeliest of boards that show different things."""
        ranked = sorted(tried, key=lambda one: -one.chance - log_share(one))
        found: list[_Tried] = []
        for one in ranked:
            twin = next(
                (k for k, x in enumerate(found) if not _differ(x.told, one.told)), None
            )
            if twin is None:
                found.append(one)
            elif found[twin].picks != one.picks:
                both = found[twin].share + one.share
                found[twin] = found[twin]._replace(share=both)
        kept = found[:KEPT]
        usual = [one for one in found[KEPT:] if not any(one.picks)]
        return kept + usual

    def _tried(self, picks: Picks) -> _Tried:
        if picks not in self._known:
            board = self.boards.board(picks)
            chosen = zip(self.boards.unknowns, picks, strict=True)
            share = float(np.prod([u.alternatives[p].share for u, p in chosen]))
            told = self._told(picks, board)
            off = np.full_like(told, UNSURE**2)
            still = np.zeros((told.shape[1], told.shape[1]))
            chance = weigh(self.readings, told, still, off, self.slip).chance
            self._known[picks] = _Tried(picks, share, told, float(chance[0]))
        return self._known[picks]

    def _told(self, picks: Picks, board: Board) -> Floats:
        """Return what a board shows, as it is worked on, (1, readings)."""
        asked = [(one.red, one.black, one.reading.mode) for one in self.taken]
        new = [one for one in dict.fromkeys(asked) if (picks, one) not in self._shown]
        for mode in dict.fromkeys(mode for _, _, mode in new):
            some = [one for one in new if one[2] is mode]
            values = self._show(board, some, mode)
            self._shown.update(zip(((picks, one) for one in some), values, strict=True))
        found = np.array([[self._shown[picks, one] for one in asked]])
        return measures(found, [mode for _, _, mode in asked])

    def _show(self, board: Board, asked: Sequence[Asked], mode: Mode) -> list[float]:
        if mode is Mode.CAP:
            return [nan] * len(asked)
        nodes = nodes_of(board.circuit, [(red, black) for red, black, _ in asked])
        values: list[float] = show(
            board.circuit, nodes, mode, self.profile
        ).values.tolist()
        return values


def _differ(one: Floats, other: Floats) -> bool:
    with np.errstate(invalid="ignore"):
        near = np.abs(one - other) < DIFFERS
    same = near | (one == other) | (np.isnan(one) & np.isnan(other))
    return not bool(same.all())
