"""Hypotheses in groups of the same structure: a candidate, healthy or failed.

A candidate that is healthy, shorted or leaky somewhere is one structure with a path
between legs switched in; one with a broken leg is another. Inside a group stand cells:
pieces of what bends a display, each small enough to be a straight line.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, product
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.diagnose.legs.candidate import CANDIDATES, FAULTY, Candidate
from tracegraph.quantity import Quantity
from tracegraph.stage.change import Change, Cut, Tie
from tracegraph.stage.kind import Fault
from tracegraph.stage.part import Part

REF = "X"
HEALTHY = "healthy"
SPREAD_OVER = 3.0  # high over low beyond which pieces are of equal ratios
SHORT = (0.005, 0.5)  # ohms of a dead short
LEAK_BELOW, LEAK_ABOVE = 20.0, 1e3  # how far a leak may be from the registry's ohms
LEAKS = 20  # pieces of a leak's decades


class Cell(NamedTuple):
    """One piece of a group.

    Attributes:
        part: Index of its part in the group.
        health: `healthy`, or the name of the fault: `leaky c-e`.
        tie: Index of the group's path that is there, or None.
        low: Least ohms of that path.
        high: Most ohms of it.
        prior: How usual it is, relative.
    """

    part: int
    health: str
    tie: int | None
    low: float
    high: float
    prior: float


@dataclass(frozen=True, eq=False)
class Group:
    """A candidate in cells of one structure.

    Attributes:
        candidate: The kind.
        changes: What the structure has besides the part: paths, or a cut leg.
        parts: The part in its pieces.
        cells: The cells.
    """

    candidate: Candidate
    changes: tuple[Change, ...]
    parts: tuple[Part, ...]
    cells: tuple[Cell, ...]

    @property
    def pins(self) -> tuple[str, ...]:
        """The pins' names, in the kind's order: its nets are called so."""
        return tuple(spec.name for spec in self.candidate.kind.pins)


@lru_cache(maxsize=1)
def groups() -> tuple[Group, ...]:
    """Return every hypothesis."""
    total = sum(one.prior for one in CANDIDATES)
    return tuple(
        group
        for candidate in CANDIDATES
        for group in _groups(candidate, candidate.prior / total)
    )


def loose(candidate: Candidate) -> Part:
    """Return the part by itself, each pin on a net of its own name."""
    kind = candidate.kind
    nets = {spec.name: spec.name for spec in kind.pins}
    return Part(
        REF,
        kind,
        MappingProxyType(nets),
        given=candidate.given,
        variant=candidate.variant,
    )


def _groups(candidate: Candidate, prior: float) -> Iterator[Group]:
    part = loose(candidate)
    fine = tuple(_pieces(candidate, part))
    coarse = _coarse(candidate, part)
    parts = (*fine, *(one for one in coarse if one not in fine))
    faults = [one for one in candidate.kind.faults(part) if len(one.changes) == 1]
    tied = [(one, tie) for one in faults for tie in one.changes if isinstance(tie, Tie)]
    cut = [one for one in faults if isinstance(one.changes[0], Cut)]
    total = sum(one.share for one in (*(fault for fault, _ in tied), *cut)) or 1.0
    bad = FAULTY * prior / total
    good = prior if candidate.dead else prior * (1 - FAULTY)
    cells = [
        Cell(k, HEALTHY, None, 0.0, 0.0, good / len(fine)) for k in range(len(fine))
    ]
    pairs = sorted({frozenset((tie.a, tie.b)) for _, tie in tied}, key=sorted)
    for fault, tie in tied:
        place = pairs.index(frozenset((tie.a, tie.b)))
        cells += _tied_cells(fault, tie, place, parts, coarse, bad * fault.share)
    paths = tuple(Tie(min(pair), max(pair), 1.0) for pair in pairs)
    yield Group(candidate, paths, parts, tuple(cells))
    for fault in cut:
        share = bad * fault.share / len(coarse)
        ends = tuple(
            Cell(k, fault.name, None, 0.0, 0.0, share) for k in range(len(coarse))
        )
        yield Group(candidate, fault.changes, coarse, ends)


def _tied_cells(
    fault: Fault,
    tie: Tie,
    place: int,
    parts: Sequence[Part],
    pieces: Sequence[Part],
    share: float,
) -> Iterator[Cell]:
    ends = _leak_ends(tie.ohms) if tie.ohms else (SHORT,)
    each = share / len(ends) / len(pieces)
    for part in pieces:
        at = parts.index(part)
        yield from (Cell(at, fault.name, place, *end, each) for end in ends)


def _coarse(candidate: Candidate, part: Part) -> tuple[Part, ...]:
    """Return fewer pieces: what is dead anyway need not be told so finely.

    Only what hides a junction behind resistors is still taken apart.
    """
    splits = tuple(
        (symbol, (count + 1) // 2)
        for symbol, count in candidate.splits
        if symbol.startswith("r")
    )
    return tuple(_pieces(candidate._replace(splits=splits), part))


def _leak_ends(ohms: float) -> tuple[tuple[float, float], ...]:
    ratio = (LEAK_BELOW * LEAK_ABOVE) ** (1 / LEAKS)
    edges = [ohms / LEAK_BELOW * ratio**k for k in range(LEAKS + 1)]
    return tuple(pairwise(edges))


def _pieces(candidate: Candidate, part: Part) -> Iterator[Part]:
    """Yield the part with the intervals of its bending parameters in pieces."""
    choices = [
        [(symbol, one) for one in _split(part.quantity(symbol), count)]
        for symbol, count in candidate.splits
    ]
    for chosen in product(*choices):
        piece = part
        for symbol, quantity in chosen:
            piece = piece.with_given(symbol, quantity)
        yield piece


def _split(whole: Quantity, count: int) -> Iterator[Quantity]:
    """Yield equal pieces of an interval; of equal ratios where it is wide."""
    low, high = whole.low, whole.high
    wide = low > 0 and high / low > SPREAD_OVER

    def edge(k: int) -> float:
        share = k / count
        return low * (high / low) ** share if wide else low + (high - low) * share

    for k in range(count):
        ends = edge(k), edge(k + 1)
        middle = (ends[0] * ends[1]) ** 0.5 if wide else sum(ends) / 2
        yield replace(whole, typical=middle, low=ends[0], high=ends[1])
