"""Compare a traced section with a known-good one."""

from collections.abc import Iterator, Mapping
from itertools import combinations
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.compare.bettering import Whole, set_to
from tracegraph.compare.board import LEAK, Board, board_of
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


class Known(NamedTuple):
    """What is known of two boards before they are compared; reference to traced.

    Attributes:
        same: Pieces that are the same.
        anchored: Nets that are the same.
        pads: Names of places, by the reference's designator in lower case.
        lawful: Designators in lower case, without units, that differ on purpose.
    """

    same: tuple[tuple[int, int], ...] = ()
    anchored: tuple[tuple[str, str], ...] = ()
    pads: Mapping[str, str] = MappingProxyType({})
    lawful: frozenset[str] = frozenset()


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
    for ref, there in same.items():
        _known_part(reference, ref, "reference")
        _known_part(traced, there, "traced section")
    pads = {ref.lower(): there for ref, there in same.items()}
    pairs = [(old.by_ref.get(a), new.by_ref.get(b.lower())) for a, b in pads.items()]
    fitted = tuple((r, t) for r, t in pairs if r is not None and t is not None)
    return compare_boards(new, old, Known(fitted, pads=MappingProxyType(pads)))


def _known_part(stage: Stage, ref: str, what: str) -> None:
    if stage.part(ref) is None:
        raise CompareError(f"there is no part {ref} in the {what}")


def compare_boards(new: Board, old: Board, known: Known) -> Comparison:
    """Return how a board differs from its reference.

    Args:
        new: The traced board.
        old: The reference.
        known: What is known of them.
    """

    def ground(*, names: bool) -> Ground:
        rules = Rules(names=names)
        return Ground(old, new, rules, known.anchored, known.same, known.pads)

    named = named_alike(old.pieces, new.pieces)
    found = _told(ground(names=named), known.lawful)
    if named and _doubted(found):
        other = _told(ground(names=False), known.lawful)
        return other if 2 * other.cost < found.cost else found
    return found


def _doubted(found: Comparison) -> bool:
    """Return whether designators may mean something else on the two boards."""
    misread = sum(one.kind is DifferenceKind.MISREAD for one in found.differences)
    return found.similarity < _DOUBTED or 2 * misread > len(found.parts)


def _told(ground: Ground, lawful: frozenset[str]) -> Comparison:
    matched = least(ground)
    match = matched.match
    fits = dict(match.fits)
    parts, nets = _parts(match), _nets(match)
    every = list(_every(matched, lawful))
    set_to(match, fits)
    first, *others = every
    similarity = _similarity(match, first)
    close = similarity >= _SAME
    return Comparison(
        ground.traced.stage.title,
        ground.reference.stage.title,
        MappingProxyType(parts),
        MappingProxyType(nets),
        first,
        tuple(others[:MOST_TIES]) if close else (),
        close and len(others) > MOST_TIES,
        _cost(first),
        similarity,
        matched.equal if close else (),
        close,
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
    both = match.ground.reference, match.ground.traced
    larger = max(sum(p.part.kind is not LEAK for p in one.pieces) for one in both)
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
    """Return for every net of the reference the traced net that most of it is on.

    Of nets that the traced section tells apart and joins by a link or bridge, the one
    that is called as in the reference.
    """
    rows = match.tally.rows.items()
    heaviest = {a: max(row, key=row.__getitem__) for a, row in rows if row}
    here = match.ground.traced
    found = {}
    for net, to in match.ground.reference.joined.items():
        if to in heaviest:
            own = here.stage.net(net) or heaviest[to]
            alike = here.joined.get(own) == heaviest[to]
            found[net] = own if alike else heaviest[to]
    return found
