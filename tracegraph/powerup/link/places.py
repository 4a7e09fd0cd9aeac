"""Where the links of a section are: nets taken together, and what stands on them."""

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import NamedTuple

from tracegraph.powerup.link.mesh import Path, paths_of
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

LOW = 100.0
"""Ohms up to which a part only carries the current in and out of a link: fuses, coils,
shunts, in-rush resistors of 10 to 100 ohm (common practice, no source)."""
LOADS = frozenset({"load", "motor", "lamp", "buzzer", "relay"})
FILM = 10e-9  # farads from which a capacitor's charge is felt: common practice
SHARE = 1e-2  # of the greatest capacitor: what is less is no part of the link


class Caps(NamedTuple):
    """Capacitors between two nets.

    Attributes:
        parts: Directly across, in parallel.
        upper: From plus to a net between, in parallel.
        lower: From there to minus.
        middle: The net between; empty where there is none.
    """

    parts: tuple[Part, ...] = ()
    upper: tuple[Part, ...] = ()
    lower: tuple[Part, ...] = ()
    middle: str = ""

    @property
    def every(self) -> tuple[Part, ...]:
        """All of them."""
        return (*self.parts, *self.upper, *self.lower)


class Places:
    """A section with nets that next to nothing parts taken as one."""

    def __init__(self, stage: Stage) -> None:
        """Take a section."""
        self.stage = stage

    @cached_property
    def paths(self) -> tuple[Path, ...]:
        """Every resistance of the section."""
        return paths_of(self.stage)

    @cached_property
    def _heads(self) -> Mapping[str, str]:
        """Every net with the net that stands for its group."""
        rank = {net: place for place, net in enumerate(self._ordered())}
        heads = {net: net for net in rank}
        for path in self.paths:
            part = self.stage.part(path.owner)
            few = path.ohms.typical is not None and path.ohms.typical <= LOW
            if few and not path.rest and not (part and part.kind.word in LOADS):
                _join(heads, rank, self.stage.references, path.a, path.b)
        return heads

    def _ordered(self) -> tuple[str, ...]:
        """Return all nets, those first that shall stand for others."""
        return tuple(dict.fromkeys((*self.stage.references, *self.stage.nets)))

    def head(self, net: str) -> str:
        """Return the net that stands for this one: a rail or ground where it can be."""
        return self._heads.get(net, net)

    @cached_property
    def capacitors(self) -> tuple[Part, ...]:
        """Capacitors that are fitted."""
        return tuple(
            part
            for part in self.stage.parts
            if part.fitted and job_of(part) == "capacitance" and len(part.pins) == 2
        )

    def ends(self, part: Part) -> tuple[str, str]:
        """Return the groups that a part of two pins stands between."""
        a, b = list(part.pins.values())[:2]
        return self.head(a), self.head(b)

    def across(self, plus: str, minus: str) -> Caps:
        """Return the capacitors between two nets, also two in series."""
        a, b = self.head(plus), self.head(minus)
        direct = [one for one in self.capacitors if set(self.ends(one)) == {a, b}]
        for middle in self._middles(a, b):
            upper = [c for c in self.capacitors if set(self.ends(c)) == {a, middle}]
            lower = [c for c in self.capacitors if set(self.ends(c)) == {middle, b}]
            if all(_bulky(one) for one in (*upper, *lower)):
                return Caps(_that_count(direct), tuple(upper), tuple(lower), middle)
        return Caps(_that_count(direct))

    def _middles(self, a: str, b: str) -> Iterator[str]:
        """Yield nets that capacitors join to both ends."""
        near: dict[str, set[str]] = {}
        for one in self.capacitors:
            for end, other in (self.ends(one), self.ends(one)[::-1]):
                if end in {a, b} and other not in {a, b, *self.stage.references}:
                    near.setdefault(other, set()).add(end)
        yield from (net for net, found in near.items() if found == {a, b})


def _join(
    heads: dict[str, str],
    rank: Mapping[str, int],
    references: tuple[str, ...],
    a: str,
    b: str,
) -> None:
    """Take two nets as one; two rails or grounds never are."""
    first, second = sorted((heads[a], heads[b]), key=lambda net: rank[net])
    if first == second or {first, second} <= set(references):
        return
    for net, head in heads.items():
        if head == second:
            heads[net] = first


def _bulky(part: Part) -> bool:
    """Return whether a capacitor is one of the link's, not of a snubber."""
    return part.kind.word == "electrolytic"


def _that_count(parts: list[Part]) -> tuple[Part, ...]:
    """Return capacitors without those that add nothing to the greatest."""
    known = [part.quantity("c").typical for part in parts]
    greatest = max((farads for farads in known if farads), default=0.0)
    return tuple(
        part
        for part, farads in zip(parts, known, strict=True)
        if farads is None or farads >= SHARE * greatest
    )


def rated_volts(part: Part) -> float | None:
    """Return the volts that a part is made for, where they are written."""
    rated = part.rated("V")
    return rated.high if rated else None
