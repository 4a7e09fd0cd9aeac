"""Find a usual stage inside a traced section: by structure alone, names and values apart.

Pairs of parts that resemble each other most are the seeds; a match grows from each along
the copper, always by the part that fits best, and the greatest match is kept.
"""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.compare.resemblance import RAIL, Pins, Resemblance
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

OTHERWISE = 0.8  # what a part counts that is there, but otherwise


class Fit(NamedTuple):
    """A pattern laid over a section.

    Attributes:
        parts: Parts found, pattern to section.
        nets: Nets found, pattern to section.
        otherwise: Parts of the pattern of which one of the same job stands between
            the same nets, but otherwise.
        missing: Parts of the pattern that are not there though their nets are.
        beyond: Parts of the pattern where the section does not reach.
        similarity: Share of the pattern's parts that was found; plugs don't count.
    """

    parts: Mapping[str, str]
    nets: Mapping[str, str]
    otherwise: tuple[str, ...]
    missing: tuple[str, ...]
    beyond: tuple[str, ...]
    similarity: float

    @property
    def found(self) -> int:
        """How many more parts were found than not."""
        return len(self.parts) - len(self.missing) - len(self.beyond)


def fit(pattern: Stage, section: Stage) -> Fit:
    """Return the best place of a pattern in a section."""
    pair = Resemblance(pattern, section)
    fits = [_Grown(pair).from_seed(seed).result() for seed in pair.seeds()]
    return max(fits, key=_worth, default=_Grown(pair).result())


def _worth(one: Fit) -> tuple[int, int]:
    return one.found, -len(one.otherwise)


class _Grown:
    """One match as it grows."""

    def __init__(self, pair: Resemblance) -> None:
        self.pair = pair
        self.parts: dict[str, str] = {}
        self.nets: dict[str, str] = {}
        self.taken: set[str] = set()

    def from_seed(self, seed: tuple[str, str]) -> "_Grown":
        """Grow from one pair of parts until nothing more fits."""
        step: tuple[str, str] | None = seed
        while step:
            self._take(step)
            step = max(self._open(), key=self._worth, default=None)
        return self

    def _take(self, step: tuple[str, str]) -> None:
        self.parts[step[0]] = step[1]
        self.taken.add(step[1])
        for net, other in self._way(step):
            self.nets.setdefault(net, other)

    def _open(self) -> Iterator[tuple[str, str]]:
        """Yield pairs that stand on nets already found and contradict none."""
        for a, b in self.pair.scores:
            if a in self.parts or b in self.taken or not self._touches(a):
                continue
            way = self._way((a, b))
            known = [self.nets[net] == other for net, other in way if net in self.nets]
            slack = 1 if len(way) > 2 else 0
            if sum(known) and len(known) - sum(known) <= slack:
                yield a, b

    def _touches(self, ref: str) -> bool:
        return any(net in self.nets for _, net in self.pair.pins[0][ref])

    def _worth(self, step: tuple[str, str]) -> tuple[float, float]:
        way = self._way(step)
        agreed = sum(self.nets.get(net) == other for net, other in way)
        strange = sum(self._strange(net, other) for net, other in way)
        return (agreed - strange) / len(way), self.pair.scores[step]

    def _strange(self, net: str, other: str) -> bool:
        """Return whether two nets don't go together: one taken, or another role."""
        if net in self.nets:
            return self.nets[net] != other
        return other in self.nets.values() or not self.pair.role(net, other)

    def _way(self, step: tuple[str, str]) -> Pins:
        """Return the way round of a pair's ends that agrees best with the nets found."""
        found = self.pair.ways[step]
        return (
            found[0]
            if len(found) == 1
            else max(found, key=lambda way: -sum(self._strange(*pin) for pin in way))
        )

    def result(self) -> Fit:
        """Return the match with what it leaves over."""
        left = [ref for ref in self.pair.ours if ref not in self.parts]
        otherwise = [ref for ref in left if self._otherwise(ref)]
        left = [ref for ref in left if ref not in self.parts]
        missing = [ref for ref in left if self._reached(ref)]
        beyond = [ref for ref in left if ref not in missing]
        whole = max(len(self.pair.ours), 1)
        count = len(self.parts) - (1 - OTHERWISE) * len(otherwise)
        return Fit(
            MappingProxyType(self.parts),
            MappingProxyType(self.nets),
            tuple(otherwise),
            tuple(missing),
            tuple(beyond),
            count / whole,
        )

    def _otherwise(self, ref: str) -> bool:
        """Take a part between nets as good as those: turned, or of the other polarity.

        Another rail is as good, and so is the other side of a shunt.
        """
        part = self.pair.ours[ref]
        wanted = {self._as_good(net) for net in part.pins.values()}
        for other, theirs in self.pair.theirs.items():
            if other in self.taken or "" in wanted:
                continue
            there = {self.pair.place(net) for net in theirs.pins.values()}
            if there == wanted and _kin(theirs) == _kin(part):
                self.parts[ref] = other
                self.taken.add(other)
                return True
        return False

    def _as_good(self, net: str) -> str:
        if self.pair.roles[0].get(net) == RAIL:
            return RAIL
        return self.pair.place(self.nets[net]) if net in self.nets else ""

    def _nets_of(self, part: Part) -> set[str | None]:
        return {self.nets.get(net) for net in part.pins.values()}

    def _reached(self, ref: str) -> bool:
        """Return whether the section has all nets of a part, fully traced."""
        nets = self._nets_of(self.pair.ours[ref])
        return None not in nets and nets.isdisjoint(self.pair.section.untraced)


def _kin(part: Part) -> str:
    """Return a part's job with its polarity left out."""
    return {"pnp": "npn", "pfet": "power switch"}.get(job_of(part), job_of(part))
