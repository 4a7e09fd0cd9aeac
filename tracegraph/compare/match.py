"""A match in the making: which part is which, and what that costs so far."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.compare.anchors import Pairs, anchors
from tracegraph.compare.board import Board, Piece
from tracegraph.compare.likeness import (
    Layout,
    Way,
    can_become,
    layouts,
    own_steps,
    sort_of,
    ways,
)
from tracegraph.compare.tally import Tally

STEP = 100
"""One step of an explanation; designators weigh less, and only break ties."""
LOOKS = 40_000
_MISREAD = 30
_EXCHANGED = 60
_LEFT_ALONE = 10


class Rules(NamedTuple):
    """What counts as a step beside absent, extra, kind, value and a moved pin.

    Attributes:
        turns: Exchanging pins of a part.
        joins: Joining two nets, and breaking one.
        names: Whether designators mean something.
    """

    turns: bool = True
    joins: bool = True
    names: bool = True


class Fit(NamedTuple):
    """A part of the reference laid on a traced one."""

    traced: int
    way: Way


class Ground:
    """Two boards, and what their parts cost each other: the same for every match."""

    def __init__(
        self,
        reference: Board,
        traced: Board,
        rules: Rules,
        anchored: Iterable[tuple[str, str]] = (),
        same: Iterable[tuple[int, int]] = (),
        pads: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        """Take the boards, and what is known of them.

        Args:
            reference: The known-good board.
            traced: The traced board.
            rules: What counts as a step.
            anchored: Nets known to be the same, reference to traced.
            same: Pieces known to be the same, reference to traced.
            pads: How the place of a part of the reference is called on the traced
                board, by designator in lower case.
        """
        self.reference, self.traced, self.rules = reference, traced, rules
        self.anchored: Pairs = list(
            dict.fromkeys([*anchors(reference, traced), *anchored])
        )
        self.same = dict(same)
        self.pads = pads
        self._told = frozenset(self.same.values())
        self._ways: dict[tuple[int, int], tuple[Way, ...]] = {}
        self._layouts: dict[object, tuple[Layout, ...]] = {}
        self._own: dict[tuple[int, int], int] = {}

    def ways(self, r: int, t: int) -> tuple[Way, ...]:
        """Return the ways to lay one part on another; none where it cannot be."""
        if (r, t) not in self._ways:
            old, new = self.reference.pieces[r], self.traced.pieces[t]
            told = self.same.get(r, t) == t and (r in self.same or t not in self._told)
            fits = told and can_become(old.part, new.part)
            found = ways(old, new, self._layouts_of(old, new)) if fits else ()
            self._ways[r, t] = found
        return self._ways[r, t]

    def _layouts_of(self, old: Piece, new: Piece) -> tuple[Layout, ...]:
        key = sort_of(old), sort_of(new)
        if key not in self._layouts:
            self._layouts[key] = layouts(old, new, turns=self.rules.turns)
        return self._layouts[key]

    def own(self, r: int, t: int) -> int:
        """Return what kind, value and designator cost."""
        if (r, t) not in self._own:
            old, new = self.reference.pieces[r].part, self.traced.pieces[t].part
            told = r in self.same or not self.rules.names
            named = 0 if told else self._misread(old.ref.lower(), new.ref.lower())
            self._own[r, t] = STEP * own_steps(old, new) + named
        return self._own[r, t]

    def _misread(self, old: str, new: str) -> int:
        """Return the price of another designator, more where both boards have it."""
        if old == new:
            return 0
        taken = old in self.traced.by_ref or new in self.reference.by_ref
        return _EXCHANGED if taken else _MISREAD

    def absent(self, r: int) -> int:
        """Return what it costs that a part of the reference is nowhere."""
        ref = self.reference.pieces[r].part.ref.lower()
        there = self.rules.names and ref in self.traced.by_ref
        return STEP + (_LEFT_ALONE if there else 0)


class Match:
    """Parts of the reference laid on traced ones."""

    def __init__(self, ground: Ground) -> None:
        """Begin with nothing matched."""
        self.ground = ground
        self.fits: dict[int, Fit] = {}
        self.owner: dict[int, int] = {}
        self.tally = Tally(ground.anchored, joins=ground.rules.joins)
        self.parts_cost = 0  # of matched parts alone
        self.looks = LOOKS  # laid parts that may still be looked at to better it

    def put(self, r: int, fit: Fit) -> None:
        """Lay a part on a traced one that is free."""
        self.fits[r] = fit
        self.owner[fit.traced] = r
        self.tally.add(fit.way.nets)
        self.parts_cost += self.fit_cost(r, fit)

    def take(self, r: int) -> Fit:
        """Take a part off again."""
        fit = self.fits.pop(r)
        del self.owner[fit.traced]
        self.tally.remove(fit.way.nets)
        self.parts_cost -= self.fit_cost(r, fit)
        return fit

    def fit_cost(self, r: int, fit: Fit) -> int:
        """Return what a match costs by itself."""
        return self.ground.own(r, fit.traced) + STEP * fit.way.turned

    def matched_cost(self) -> int:
        """Return what the matched parts cost, with their nets."""
        return self.parts_cost + STEP * self.tally.steps()

    def absent(self) -> list[int]:
        """Return the parts of the reference that are on no traced part."""
        every = range(len(self.ground.reference.pieces))
        return [r for r in every if r not in self.fits]

    def extra(self) -> list[int]:
        """Return the traced parts that no part of the reference is on."""
        every = range(len(self.ground.traced.pieces))
        return [t for t in every if t not in self.owner]

    def cost(self) -> int:
        """Return what the whole match costs."""
        gone = sum(self.ground.absent(r) for r in self.absent())
        return self.matched_cost() + gone + STEP * len(self.extra())

    def best(self, r: int, t: int) -> tuple[int, Fit] | None:
        """Return the cheapest way to lay a free part on a free one, with its cost."""
        found: tuple[int, Fit] | None = None
        for way in self.ground.ways(r, t):
            fit = Fit(t, way)
            self.put(r, fit)
            cost = self.matched_cost()
            self.take(r)
            self.looks -= 1
            if found is None or cost < found[0]:
                found = cost, fit
        return found
