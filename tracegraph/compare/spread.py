"""A first match that spreads from what is certain: anchors, odd parts, neighbours."""

from heapq import heappop, heappush

from tracegraph.compare.board import Piece
from tracegraph.compare.likeness import Way
from tracegraph.compare.match import STEP, Fit, Ground, Match
from tracegraph.compare.sight import Sight

_SURE = 1.5  # how sure a match of parts alike is made at first
_HUB = 14  # pins from which a net tells no neighbours


def spread(match: Match, sight: Sight) -> None:
    """Match more parts, the surest first; every match makes its neighbours surer."""
    _Spreading(match, sight).run()


class _Spreading:
    def __init__(self, match: Match, sight: Sight) -> None:
        self.ground, self.match, self.sight = match.ground, match, sight
        self.heap: list[tuple[float, int, int]] = []

    def run(self) -> None:
        """Match parts of one kind and value while that is sure, then any."""
        for alike, least in ((True, _SURE), (False, 0.0)):
            free = self.match.absent()
            for t in self.match.extra():
                for r in free:
                    if not alike or self.sight.same(r, t):
                        self.push(r, t)
            self.match_down_to(least)

    def match_down_to(self, least: float) -> None:
        """Match the surest pair again and again, as long as it is sure enough."""
        while self.heap:
            told, r, t = heappop(self.heap)
            if r in self.match.fits or t in self.match.owner:
                continue
            score, way = self.score(r, t)
            if score < -told - 1e-9:
                heappush(self.heap, (-score, r, t))
            elif way and score > least:
                self.match.put(r, Fit(t, way))
                self.wake(way)

    def push(self, r: int, t: int) -> None:
        score, way = self.score(r, t)
        if way and score > 0:
            heappush(self.heap, (-score, r, t))

    def wake(self, way: Way) -> None:
        """Look again at the parts around nets that have just been matched."""
        for a, b in way.nets:
            olds, news = self.ground.reference.on[a], self.ground.traced.on[b]
            if len(olds) < _HUB and len(news) < _HUB:
                for r in olds:
                    for t in news:
                        if r not in self.match.fits and t not in self.match.owner:
                            self.push(r, t)

    def score(self, r: int, t: int) -> tuple[float, Way | None]:
        """Return how sure a match is, and the best way to lay it."""
        found: tuple[float, Way | None] = (-1.0, None)
        for way in self.ground.ways(r, t):
            nets = sum(self.pin_score(a, b) for a, b in way.nets)
            score = nets - 1.5 * way.turned
            if found[1] is None or score > found[0]:
                found = score, way
        if found[1] is None:
            return found
        own = 1.5 * self.ground.own(r, t) / STEP
        return found[0] + self.sight.part(r, t) - own, found[1]

    def pin_score(self, a: str, b: str) -> float:
        row, column = self.match.tally.rows.get(a), self.match.tally.columns.get(b)
        if not row and not column:
            return self.sight.net(a, b)
        if row and column and b in row:
            most = row[b] >= max(row.values()) and column[a] >= max(column.values())
            return 2.0 if most else 0.5
        return -1.0 if row and column else -0.5


def by_name(ground: Ground, match: Match) -> None:
    """Match the parts that were told to be the same, then those of one designator."""
    for r, t in ground.same.items():
        _put(match, r, t)
    if ground.rules.names:
        for ref, r in ground.reference.by_ref.items():
            there = ground.traced.by_ref.get(ref, -1)
            if there >= 0 and r not in match.fits and there not in match.owner:
                _put(match, r, there)


def _put(match: Match, r: int, t: int) -> None:
    found = match.ground.ways(r, t)
    if found:
        match.put(r, Fit(t, found[0]))


def named_alike(old: tuple[Piece, ...], new: tuple[Piece, ...]) -> bool:
    """Return whether designators mean the same on both boards: half of them do."""
    words = {one.part.ref.lower(): one.part.kind.word for one in new}
    common = sum(words.get(one.part.ref.lower()) == one.part.kind.word for one in old)
    return 2 * common >= min(len(old), len(new)) > 0
