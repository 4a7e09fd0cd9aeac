"""The least cost over all ways to match some parts, the others staying as they are.

Branch and bound: a part after the other is laid on every traced part that is still
free, in every way, or left out. The steps for pins matched so far never get fewer by
matching more, so that a branch dearer than the best whole match is left.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from tracegraph.compare.match import STEP, Fit, Match

Fits = tuple[tuple[int, Fit], ...]


@dataclass
class Search:
    """What a search found.

    Attributes:
        cost: The least cost of a whole match.
        found: The matches of the searched parts that cost as much, at most `most`.
        looks: How many laid parts may still be looked at.
        proven: Whether it looked everywhere.
        most: Matches that are kept.
    """

    cost: int
    found: list[Fits] = field(default_factory=list)
    looks: int = 40_000
    proven: bool = True
    most: int = 60


def search(
    match: Match, olds: Iterable[int], news: Iterable[int], looks: int
) -> Search:
    """Return the least cost and its matches, all others than these parts kept.

    The match is given back as it was.
    """
    before = {r: match.take(r) for r in olds if r in match.fits}
    free = [t for t in dict.fromkeys(news) if t not in match.owner]
    olds = list(dict.fromkeys(olds))
    for r, fit in before.items():
        match.put(r, fit)
    result = Search(match.cost(), looks=looks)
    for r in before:
        match.take(r)
    _Branching(match, olds, free, result).run()
    for r, fit in before.items():
        match.put(r, fit)
    return result


class _Branching:
    def __init__(
        self, match: Match, olds: list[int], news: list[int], result: Search
    ) -> None:
        self.match, self.result = match, result
        self.ground = match.ground
        self.least = {
            r: min(
                (self.ground.own(r, t) for t in news if self.ground.ways(r, t)),
                default=STEP,
            )
            for r in olds
        }
        # What is neither matched nor searched costs the same in every branch.
        gone = set(match.absent()) - set(olds)
        lost = set(match.extra()) - set(news)
        self.base = sum(map(self.ground.absent, gone)) + STEP * len(lost)
        self.olds, self.news = olds, news
        self.chosen: list[tuple[int, Fit]] = []
        self.twins = {t: self._look(t) for t in news}

    def _look(self, t: int) -> object:
        """Return what makes two traced parts one and the same for the search."""
        piece = self.ground.traced.pieces[t]
        ref = piece.part.ref if self.ground.rules.names else ""
        told = t if t in self.ground.same.values() else None
        values = tuple(sorted((s, q.low, q.high) for s, q in piece.part.given.items()))
        nets = tuple(sorted(piece.pins.items()))
        return ref, told, piece.part.kind.word, piece.part.variant, values, nets

    def run(self) -> None:
        """Look at every branch."""
        self.branch(self.olds, self.news, self.base + self.match.matched_cost())

    def branch(self, olds: list[int], news: list[int], spent: int) -> None:
        """Look at every way on for the parts left."""
        if self.bound(olds, len(news), spent) > self.result.cost:
            return
        if not olds:
            self.keep(spent + STEP * len(news))
            return
        if self.result.looks <= 0:
            self.result.proven = False
            return
        r = self.next_of(olds)
        left = [one for one in olds if one != r]
        before = self.match.matched_cost()
        for cost, fit in self.choices(r, news):
            now = spent + cost - before
            if self.bound(left, len(news) - 1, now) <= self.result.cost:
                self.match.put(r, fit)
                self.chosen.append((r, fit))
                self.branch(left, [t for t in news if t != fit.traced], now)
                self.chosen.pop()
                self.match.take(r)
        self.branch(left, news, spent + self.ground.absent(r))

    def bound(self, olds: list[int], news: int, spent: int) -> int:
        """Return what any way on from here costs at least."""
        rest = sum([self.least[r] for r in olds])
        return spent + rest + STEP * max(news - len(olds), 0)

    def keep(self, cost: int) -> None:
        if cost < self.result.cost:
            self.result.cost = cost
            self.result.found.clear()
        if cost == self.result.cost and len(self.result.found) < self.result.most:
            self.result.found.append(tuple(self.chosen))

    def next_of(self, olds: list[int]) -> int:
        """Return the part that hangs most on nets that are matched already."""
        rows = self.match.tally.rows
        pieces = self.ground.reference.pieces
        return max(
            olds, key=lambda r: sum(bool(rows.get(n)) for n in pieces[r].pins.values())
        )

    def choices(self, r: int, news: list[int]) -> list[tuple[int, Fit]]:
        """Return the ways to lay a part, cheapest first, of twins one only."""
        found: list[tuple[int, Fit]] = []
        seen: set[object] = set()
        for t in news:
            if self.twins[t] in seen:
                continue
            seen.add(self.twins[t])
            for way in self.ground.ways(r, t):
                fit = Fit(t, way)
                self.match.put(r, fit)
                found.append((self.match.matched_cost(), fit))
                self.match.take(r)
                self.result.looks -= 1
        return sorted(found, key=lambda one: one[0])
