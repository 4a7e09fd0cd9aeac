"""The boards that a half-known section may be: one circuit for each way its unknowns fall.

First every unknown alone, each at every alternative, the others at their most usual.
Those that move a reading are then tried together: every combination up to a limit,
else all ends of the six that move most; and always a random sample of all.
"""

from collections.abc import Iterable, Sequence
from itertools import product
from typing import NamedTuple

import numpy as np

from tracegraph.meter.unknown import Unknown
from tracegraph.network.circuit import Circuit, compile_stage
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change
from tracegraph.stage.stage import Stage

TOGETHER = 6  # unknowns tried at all their ends
LIMIT = 64  # combinations tried in full
SAMPLE = 8  # random combinations of all unknowns
SEED = 7

Picks = tuple[int, ...]


class Board(NamedTuple):
    """One way that the unknowns may fall.

    Attributes:
        picks: For every unknown, the index of its alternative.
        circuit: The section so completed, compiled cold.
    """

    picks: Picks
    circuit: Circuit


class Boards:
    """Makes the boards of a section on demand, each only once."""

    def __init__(self, section: Stage, unknowns: Sequence[Unknown]) -> None:
        """Take the section as it stands on the bench, and what it leaves open."""
        self.section = section
        self.unknowns = tuple(unknowns)
        self._made: dict[Picks, Board] = {}

    def board(self, picks: Picks) -> Board:
        """Return the board of these picks."""
        if picks not in self._made:
            self._made[picks] = Board(picks, self._compiled(picks))
        return self._made[picks]

    def altered(self, change: Change) -> Circuit:
        """Return the usual board with a change made to it."""
        return self._compiled((0,) * len(self.unknowns), change)

    def _compiled(self, picks: Picks, *more: Change) -> Circuit:
        chosen = zip(self.unknowns, picks, strict=True)
        changes = [c for one, pick in chosen for c in one.alternatives[pick].changes]
        return compile_stage(apply(self.section, [*changes, *more]))

    def alone(self) -> list[Board]:
        """Return the usual board, then each unknown at each other alternative."""
        usual = [0] * len(self.unknowns)
        found = [self.board(tuple(usual))]
        for index, unknown in enumerate(self.unknowns):
            found += [
                self.board((*usual[:index], pick, *usual[index + 1 :]))
                for pick in range(1, len(unknown.alternatives))
            ]
        return found

    def together(self, movers: Sequence[int]) -> list[Board]:
        """Return boards with several of the unknowns moved at once.

        Args:
            movers: Indices of unknowns that move a reading, the biggest first.
        """
        if len(self.unknowns) < 2:
            return []
        choices = [range(len(self.unknowns[m].alternatives)) for m in movers]
        if int(np.prod([len(one) for one in choices])) > LIMIT:
            choices = [
                range(0, len(one), max(len(one) - 1, 1)) for one in choices[:TOGETHER]
            ]
        found = [self._picked(movers, picks) for picks in product(*choices)]
        rng = np.random.default_rng(SEED)
        counts = [len(one.alternatives) for one in self.unknowns]
        drawn = rng.integers(counts, size=(SAMPLE, len(counts)))
        return found + [self.board(tuple(int(pick) for pick in row)) for row in drawn]

    def _picked(self, movers: Sequence[int], picks: Iterable[int]) -> Board:
        full = [0] * len(self.unknowns)
        for mover, pick in zip(movers, picks, strict=False):
            full[mover] = pick
        return self.board(tuple(full))
