"""All boards that a section may be, against all readings asked for, in one mode."""

from collections import defaultdict
from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.display import show as show_value
from tracegraph.meter.capacitance import show_farads
from tracegraph.meter.instrument import Displayed, show
from tracegraph.meter.profile import Profile
from tracegraph.meter.unknowns.boards import Board, Boards, Picks
from tracegraph.meter.unknowns.unknown import Alternative, Unknown
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.stage.reading import UNITS, Mode

TRIED = 64  # combinations of unknowns tried on a few pairs
FEW_TRIED = 16  # and on many
FEW = 8  # pairs up to which all boards are solved as one batch
TOLD = 2  # unknowns that are named when a board is told from others
SAME = 0.01  # displays closer than this part of themselves count as one
FURTHEST = 10.0  # how far a number and OL lie apart; two numbers never reach it


class Row(NamedTuple):
    """One board with what it shows for every pair."""

    board: Board
    shown: Displayed

    @property
    def strayed(self) -> tuple[int, ...]:
        """The unknowns that are not at their most usual."""
        return tuple(k for k, pick in enumerate(self.board.picks) if pick)


class Table:
    """What each board shows for each pair in one mode; the usual board comes first.

    Attributes:
        boards: Where the boards come from.
        pairs: Nets of red and black.
        mode: OHMS, DIODE or BEEP.
        profile: The meter.
        rows: One for each board worked out.
    """

    def __init__(
        self,
        boards: Boards,
        pairs: Sequence[tuple[str, str]],
        mode: Mode,
        profile: Profile,
        *,
        others: bool = True,
    ) -> None:
        """Show the usual board and every unknown alone, then those that move together.

        Without `others`, the usual board only.
        """
        self.boards = boards
        self.pairs = pairs
        self.mode = mode
        self.profile = profile
        if not others:
            self.rows = self._shown([boards.usual])
            return
        self.rows = self._shown(boards.alone())
        known = {row.board.picks for row in self.rows}
        many = len(pairs) > FEW
        more = {
            one.picks: one
            for one in boards.together(
                self._first_movers(), FEW_TRIED if many else TRIED
            )
        }
        self.rows += self._shown([b for picks, b in more.items() if picks not in known])

    def _first_movers(self) -> list[int]:
        """Return the unknowns that alone move any of the readings, the biggest first."""
        return self._ranked(self._far(self.rows).sum(axis=1))

    def _shown(self, boards: Sequence[Board]) -> list[Row]:
        """Return what boards show: few pairs as one batch of all boards alike."""
        if len(self.pairs) > FEW:
            return [
                Row(one, self.shown_by(one.circuit, nodes_of(one.circuit, self.pairs)))
                for one in boards
            ]
        found: dict[Picks, Displayed] = {}
        for structure in dict.fromkeys(one.structure for one in boards):
            alike = [one for one in boards if one.structure == structure]
            for one, shown in zip(alike, self._together(alike), strict=True):
                found[one.picks] = shown
        return [Row(one, found[one.picks]) for one in boards]

    def _together(self, boards: Sequence[Board]) -> list[Displayed]:
        """Return what boards of one structure show."""
        circuit, count = boards[0].everything, len(self.pairs)
        pairs = np.tile(nodes_of(circuit, self.pairs), (len(boards), 1))
        values = np.repeat([one.everything.values for one in boards], count, axis=0)
        shown = self.shown_by(circuit, pairs, values)
        parts = [np.split(table, len(boards)) for table in shown]
        return [Displayed(*part) for part in zip(*parts, strict=True)]

    def shown_by(
        self, circuit: Circuit, nodes: Ints, values: Floats | None = None
    ) -> Displayed:
        """Return what pairs of nodes of any boards show in this table's mode."""
        if self.mode is Mode.CAP:
            return show_farads(circuit, nodes, self.profile, values)
        return show(circuit, nodes, self.mode, self.profile, values)

    @property
    def usual(self) -> Row:
        """The board with every unknown at its most usual."""
        return self.rows[0]

    @cached_property
    def values(self) -> Floats:
        """Displays, (boards, pairs)."""
        return np.stack([row.shown.values for row in self.rows])

    @cached_property
    def bent(self) -> NDArray[np.bool_]:
        """Whether a junction decides the reading, (boards, pairs)."""
        return np.stack([row.shown.bent for row in self.rows])

    @cached_property
    def moved(self) -> NDArray[np.bool_]:
        """Where a board shows something else than the usual one, (boards, pairs)."""
        return ~self.same(self.values, np.arange(len(self.pairs)))

    def same(self, values: Floats, pairs: Sequence[int] | Ints) -> NDArray[np.bool_]:
        """Return where displays of some pairs are what the usual board shows there.

        The same means: to a digit or a hundredth, both OL, or both a beep.
        """
        usual = self.usual.shown
        there = usual.values[pairs]
        if self.mode is Mode.BEEP and self.profile.beep:
            limit = self.profile.beep.below
            return np.asarray((values < limit) == (there < limit))
        steps = np.array([scale.step for scale in self.profile.scales(self.mode)])
        margin = np.maximum(1.5 * steps[usual.scale[pairs]], SAME * np.abs(there))
        with np.errstate(invalid="ignore"):
            near = np.abs(values - there) <= np.where(np.isfinite(there), margin, 0.0)
        return np.asarray((np.isinf(values) & np.isinf(there)) | near)

    def shorted(self) -> NDArray[np.bool_]:
        """Return where the usual board shows what two probes held together show."""
        every = np.arange(len(self.pairs))
        short = self.profile.leads if self.mode in {Mode.OHMS, Mode.BEEP} else 0.0
        return self.same(np.full(len(every), short), every) & (
            self.mode is not Mode.CAP
        )

    def text(self, value: float) -> str:
        """Return a display as people say it; beeps in ohms."""
        unit = "ohm" if self.mode is Mode.BEEP else UNITS[self.mode]
        return "OL" if np.isinf(value) else show_value(value, unit)

    def movers(self, pair: int) -> list[int]:
        """Return the unknowns that move a reading, the biggest mover first."""
        return self._every_mover[pair]

    @cached_property
    def _every_mover(self) -> list[list[int]]:
        far = self._far(self.rows)
        return [self._ranked(far[:, pair]) for pair in range(len(self.pairs))]

    def _far(self, rows: Sequence[Row]) -> Floats:
        """Return how far boards move readings, (rows, pairs); 0 where not at all."""
        seen = np.stack([row.shown.values for row in rows])
        usual = self.usual.shown.values
        with np.errstate(invalid="ignore"):
            size = np.maximum(np.maximum(np.abs(seen), np.abs(usual)), 1e-9)
            far = np.abs(seen - usual) / size
        far = np.where(np.isfinite(seen) & np.isfinite(usual), far, FURTHEST)
        return np.where(self.same(seen, np.arange(len(self.pairs))), 0.0, far)

    def _ranked(self, far: Floats) -> list[int]:
        """Return the unknowns that move something, the biggest first.

        Those that do so alone; where none does, those that do so together.
        """
        alone: dict[int, float] = defaultdict(float)
        joint: dict[int, float] = defaultdict(float)
        for row in np.flatnonzero(far):
            strayed = self.rows[row].strayed
            sizes = alone if len(strayed) == 1 else joint
            for unknown in strayed:
                sizes[unknown] = max(sizes[unknown], float(far[row]))
        found = alone or joint
        return sorted(found, key=lambda one: -found[one])

    def alone(self, movers: Sequence[int]) -> list[int]:
        """Return the rows in which one of these unknowns strays, and no other."""
        return [
            k
            for k, row in enumerate(self.rows)
            if row.strayed in {(m,) for m in movers}
        ]

    def share(self, row: int, pair: int) -> float:
        """Return how usual a board is, as far as it moves a reading."""
        return float(np.prod([one.share for _, one in self.told(row, pair)]))

    def told(self, row: int, pair: int) -> list[tuple[Unknown, Alternative]]:
        """Return the unknowns that tell a board from others, with their alternatives."""
        movers = self.movers(pair)
        strayed = self.rows[row].strayed
        told = [k for k in movers if k in strayed] or list(strayed) or movers[:1]
        picks, every = self.rows[row].board.picks, self.boards.unknowns
        return [(every[k], every[k].alternatives[picks[k]]) for k in told[:TOLD]]


def nodes_of(circuit: Circuit, pairs: Sequence[tuple[str, str]]) -> Ints:
    """Return the node indices of pairs of nets."""
    nodes = [(circuit.nodes[red], circuit.nodes[black]) for red, black in pairs]
    return np.array(nodes, np.intp).reshape(-1, 2)
