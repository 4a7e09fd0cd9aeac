"""The boards that a half-known section may be: one for each way its unknowns fall.

First every unknown alone, each at every alternative, the others at their most usual.
Those that move a reading are then tried together: every combination up to a limit,
else all ends of those that move most; and always a random sample of all.

All alternatives are compiled into one structure, what is not chosen switched off, so
that boards differ in numbers only; an unknown pinout needs a structure for each order.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from math import prod
from random import Random
from typing import NamedTuple

from tracegraph.meter.unknowns.unknown import Alternative, Unknown
from tracegraph.network.circuit import Circuit, compile_stage
from tracegraph.network.place import Placed, place_part
from tracegraph.network.retune import retuned, without
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Add, Change, Permute, Remove, Vary
from tracegraph.stage.stage import Stage

SAMPLE = 8  # random combinations of all unknowns
SEED = 7

Picks = tuple[int, ...]


class Board(NamedTuple):
    """One way that the unknowns may fall.

    Attributes:
        picks: For every unknown, the index of its alternative.
        structure: The picks of unknown pinouts; boards with the same differ in
            numbers only.
        circuit: The section so completed, compiled cold.
        everything: The same with all that other boards have, switched off.
    """

    picks: Picks
    structure: Picks
    circuit: Circuit
    everything: Circuit


class Boards:
    """Makes the boards of a section on demand, each only once."""

    def __init__(self, section: Stage, unknowns: Sequence[Unknown]) -> None:
        """Take the section as it stands on the bench, and what it leaves open."""
        self.section = section
        self.unknowns = tuple(unknowns)
        self._made: dict[Picks, Board] = {}
        self._structures: dict[Picks, tuple[Stage, Circuit]] = {}

    @property
    def usual(self) -> Board:
        """The board with every unknown at its most usual."""
        return self.board((0,) * len(self.unknowns))

    def board(self, picks: Picks) -> Board:
        """Return the board of these picks."""
        if picks not in self._made:
            pairs = list(zip(self.unknowns, picks, strict=True))
            structure = tuple(pick for one, pick in pairs if _permutes(one))
            if structure not in self._structures:
                self._structures[structure] = self._structure(pairs)
            stage, union = self._structures[structure]
            chosen = [one.alternatives[pick] for one, pick in pairs]
            off = tuple(self._off(chosen))
            everything = retuned(union, off, _tuned(stage, chosen))
            circuit = without(everything, off)
            self._made[picks] = Board(picks, structure, circuit, everything)
        return self._made[picks]

    def _structure(self, pairs: Iterable[tuple[Unknown, int]]) -> tuple[Stage, Circuit]:
        """Return the section with everything in it that any alternative adds."""
        changes: list[Change] = []
        for unknown, pick in pairs:
            every = [c for one in unknown.alternatives for c in one.changes]
            changes += [c for c in every if isinstance(c, Add)]
            changes += [c for c in every if isinstance(c, Vary)][:1]
            changes += [
                c for c in unknown.alternatives[pick].changes if isinstance(c, Permute)
            ]
        stage = apply(self.section, changes, keep_names=True)
        return stage, compile_stage(stage)

    def _off(self, chosen: Sequence[Alternative]) -> Iterator[str]:
        """Yield the owners that carry nothing: removed, or added by no chosen one."""
        kept = {c.part.ref for one in chosen for c in one.changes if isinstance(c, Add)}
        for unknown in self.unknowns:
            for alternative in unknown.alternatives:
                for change in alternative.changes:
                    if isinstance(change, Add) and change.part.ref not in kept:
                        yield change.part.ref
        for one in chosen:
            yield from (c.part for c in one.changes if isinstance(c, Remove))

    def alone(self) -> list[Board]:
        """Return the usual board, then each unknown at each other alternative."""
        usual = [0] * len(self.unknowns)
        found = [self.usual]
        for index, unknown in enumerate(self.unknowns):
            found += [
                self.board((*usual[:index], pick, *usual[index + 1 :]))
                for pick in range(1, len(unknown.alternatives))
            ]
        return found

    def together(self, movers: Sequence[int], limit: int) -> list[Board]:
        """Return boards with several of the unknowns moved at once.

        Args:
            movers: Indices of unknowns that move a reading, the biggest first.
            limit: Combinations tried in full; beyond it, only both ends of as many
                of the biggest movers as it allows.
        """
        if len(self.unknowns) < 2:
            return []
        choices = [range(len(self.unknowns[m].alternatives)) for m in movers]
        if prod(len(one) for one in choices) > limit:
            ends = [range(0, len(one), max(len(one) - 1, 1)) for one in choices]
            choices = ends[: limit.bit_length() - 1]
        found = [self._picked(movers, picks) for picks in product(*choices)]
        rng = Random(SEED)
        counts = [len(one.alternatives) for one in self.unknowns]
        drawn = [tuple(map(rng.randrange, counts)) for _ in range(SAMPLE)]
        return found + [self.board(picks) for picks in drawn]

    def _picked(self, movers: Sequence[int], picks: Iterable[int]) -> Board:
        full = [0] * len(self.unknowns)
        for mover, pick in zip(movers, picks, strict=False):
            full[mover] = pick
        return self.board(tuple(full))


def _permutes(unknown: Unknown) -> bool:
    return any(
        isinstance(c, Permute) for one in unknown.alternatives for c in one.changes
    )


def _tuned(stage: Stage, chosen: Sequence[Alternative]) -> Iterator[Placed]:
    """Yield the branches of parts whose values were chosen."""
    for alternative in chosen:
        for change in alternative.changes:
            part = stage.part(change.part) if isinstance(change, Vary) else None
            if part and isinstance(change, Vary):
                yield from place_part(
                    part.with_given(change.symbol, change.quantity), cold=True
                )
