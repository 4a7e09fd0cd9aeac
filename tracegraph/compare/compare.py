"""Compare a traced section with a known-good one."""

from collections.abc import Iterator, Mapping
from itertools import combinations
from types import MappingProxyType

from tracegraph.compare.bettering import Whole, set_to
from tracegraph.compare.board import Board, board_of
from tracegraph.compare.comparison import Comparison, Difference, DifferenceKind
from tracegraph.compare.explain import Differences, explain
from tracegraph.compare.match import Ground, Match, Rules
from tracegraph.compare.matching import Matched, least
from tracegraph.compare.netsteps import NetSteps
from tracegraph.compare.remarks import remarks
from tracegraph.compare.spread import named_alike
from tracegraph.stage.stage import Stage

MOST_TIES = 8
_SAME = 0.4  # similarity under which two sections are not the same
_DOUBTED = 0.7  # similarity under which designators may mean nothing
_MISREAD = 0.3
_SILENT = frozenset({DifferenceKind.MISREAD, DifferenceKind.UNKNOWN})


class CompareError(ValueError):
    """A part that was named is not in the section."""


def compare(
    traced: Stage, reference: Stage, *, same: Mapping[str, str] = MappingProxyType({})
) -> Comparison:
    """Return how the traced section differs from the reference.

    Args:
        traced: The section.
        reference: The known-good section.
        same: Parts known to be the same, reference to traced designator.

    Raises:
        CompareError: `same` names a part that its section does not have.
    """
    old, new = board_of(reference), board_of(traced)
    pairs = [_pair(old, new, *both) for both in same.items()]
    return compare_boards(new, old, pairs, ())


def compare_boards(
    new: Board,
    old: Board,
    same: list[tuple[int, int]],
    anchored: tuple[tuple[str, str], ...],
    lawful: frozenset[str] = frozenset(),
) -> Comparison:
    """Return how a board differs from its reference.

    Args:
        new: The traced board.
        old: The reference.
        same: Pieces known to be the same, reference to traced.
        anchored: Nets known to be the same, reference to traced.
        lawful: Designators in lower case, without units, that differ on purpose.
    """

    def ground(*, names: bool) -> Ground:
        return Ground(old, new, Rules(names=names), anchored=anchored, same=same)

    named = named_alike(old.pieces, new.pieces)
    found = _told(ground(names=named), lawful)
    if named and found.similarity < _DOUBTED:
        other = _told(ground(names=False), lawful)
        return other if 2 * other.cost < found.cost else found
    return found


def _pair(old: Board, new: Board, ref: str, there: str) -> tuple[int, int]:
    for name, board, what in ((ref, old, "reference"), (there, new, "traced section")):
        if name.lower() not in board.by_ref:
            raise CompareError(f"there is no part {name} fitted in the {what}")
    return old.by_ref[ref.lower()], new.by_ref[there.lower()]


def _told(ground: Ground, lawful: frozenset[str]) -> Comparison:
    matched = least(ground)
    match = matched.match
    fits = dict(match.fits)
    parts, nets = _parts(match), _nets(match)
    every = list(_every(matched, lawful))
    set_to(match, fits)
    first, *others = every
    similarity = _similarity(match, first)
    known = similarity >= _SAME
    return Comparison(
        ground.traced.stage.title,
        ground.reference.stage.title,
        MappingProxyType(parts),
        MappingProxyType(nets),
        first,
        tuple(others[:MOST_TIES]) if known else (),
        known and len(others) > MOST_TIES,
        _cost(first),
        similarity,
        same_section=known,
    )


def _every(matched: Matched, lawful: frozenset[str]) -> Iterator[Differences]:
    """Yield every least explanation once."""
    match, seen = matched.match, set[object]()
    for whole in (dict(matched.match.fits), *matched.others):
        for one in _explanations(match, whole):
            told = tuple(_marked(difference, lawful) for difference in one)
            key = frozenset((d.kind, d.reference, repr(d.changes)) for d in told)
            if key not in seen:
                seen.add(key)
                yield told


def _explanations(match: Match, whole: Whole) -> Iterator[Differences]:
    set_to(match, whole)
    steps = NetSteps(match)
    pairs = steps.pairs()[:3]
    for count in range(len(pairs) + 1):
        for together in combinations(pairs, count):
            found = explain(match, steps, frozenset(together))
            yield (*found, *remarks(match))


def _marked(difference: Difference, lawful: frozenset[str]) -> Difference:
    """Return a difference, lawful if it is one of parts that differ on purpose."""
    refs = (difference.traced, difference.reference)
    names = {ref.split(".", 1)[0].lower() for ref in refs if ref}
    return difference._replace(lawful=bool(names & lawful))


def _cost(differences: Differences) -> float:
    silent = sum(one.kind is DifferenceKind.MISREAD for one in differences)
    return _steps(differences) + _MISREAD * silent


def _steps(differences: Differences) -> int:
    return sum(one.kind not in _SILENT and not one.lawful for one in differences)


def _similarity(match: Match, differences: Differences) -> float:
    """Return the parts matched, less what they cost, over those of the larger."""
    ground = match.ground
    larger = max(len(ground.reference.pieces), len(ground.traced.pieces))
    if not larger:
        return 1.0
    apart = {DifferenceKind.ABSENT, DifferenceKind.EXTRA}
    cost = _steps(tuple(one for one in differences if one.kind not in apart))
    return max(len(match.fits) - cost, 0) / larger


def _parts(match: Match) -> dict[str, str]:
    old, new = match.ground.reference.pieces, match.ground.traced.pieces
    fits = sorted(match.fits.items())
    return {old[r].part.ref: new[fit.traced].part.ref for r, fit in fits}


def _nets(match: Match) -> dict[str, str]:
    """Return for every net of the reference the traced net that most of it is on."""
    rows = match.tally.rows.items()
    heaviest = {a: max(row, key=row.__getitem__) for a, row in rows if row}
    joined = match.ground.reference.joined
    return {net: heaviest[to] for net, to in joined.items() if to in heaviest}
