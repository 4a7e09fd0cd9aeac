"""Which parts cannot all be healthy, and which faults would explain that.

A conflict is a set of parts of which at least one must be faulty; a diagnosis is a set
of parts that, taken as faulty, leaves no conflict. The minimal diagnoses are the
minimal sets that hit every conflict, and the other way round: R. Reiter, A theory of
diagnosis from first principles, and J. de Kleer and B. C. Williams, Diagnosing
multiple faults, both Artificial Intelligence 32, 1987; from memory. Nothing here knows
of electricity: a part is whatever can be hashed.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from typing import TypeVar

T = TypeVar("T", bound=Hashable)


def minimal_conflicts(
    parts: Sequence[T],
    consistent: Callable[[frozenset[T]], bool],
    faults: int | None = None,
) -> tuple[frozenset[T], ...]:
    """Return all minimal sets of parts that cannot all be healthy, smallest first.

    The tree of diagnoses is grown with the conflicts that are met on the way. When it
    is complete, so are they: the minimal hitting sets of the minimal hitting sets are
    the sets one began with.

    Args:
        parts: The parts, in the order in which equal answers are given.
        consistent: Whether the readings can be as they are if these parts are healthy
            and nothing is said of the others. What holds for some parts must hold for
            fewer.
        faults: How many parts may be faulty at once; more are not thought of, and a
            conflict that matters only then may be missing. None is any number.
    """
    known: list[frozenset[T]] = []

    def unmet(faulty: frozenset[T]) -> frozenset[T] | None:
        for conflict in known:
            if conflict.isdisjoint(faulty):
                return conflict
        healthy = [part for part in parts if part not in faulty]
        if consistent(frozenset(healthy)):
            return None
        known.append(_least(healthy, consistent))
        return known[-1]

    place = {part: k for k, part in enumerate(parts)}
    for _ in _hitting(unmet, faults, place):
        pass
    return tuple(sorted(known, key=lambda one: (len(one), _places(one, place))))


def minimal_diagnoses(
    conflicts: Iterable[frozenset[T]], most: int | None = None
) -> tuple[frozenset[T], ...]:
    """Return the minimal sets that hit every conflict, in order of size.

    Without a conflict that is the empty set: nothing need be faulty. An empty conflict
    can't be hit at all.

    Args:
        conflicts: The conflicts; they need not be minimal.
        most: Size of the largest set to return; None is any size.
    """
    known = tuple(conflicts)
    place: dict[T, int] = {}
    for part in (part for conflict in known for part in conflict):
        place.setdefault(part, len(place))

    def unmet(faulty: frozenset[T]) -> frozenset[T] | None:
        return next((one for one in known if one.isdisjoint(faulty)), None)

    return tuple(_hitting(unmet, most, place))


def _hitting(
    unmet: Callable[[frozenset[T]], frozenset[T] | None],
    most: int | None,
    place: dict[T, int],
) -> Iterator[frozenset[T]]:
    """Yield minimal hitting sets, smallest first: Reiter's tree, a level at a time.

    A node that is reached twice is kept once, and one that holds a set found before is
    closed: all that grows from it would hold that set, too. With conflicts that are
    minimal, or known beforehand, no other pruning is needed to be right.

    Args:
        unmet: A conflict that a set does not hit, or None where it hits them all.
        most: Size of the largest set to yield; None is any size.
        place: Order of the parts.
    """
    found: list[frozenset[T]] = []
    level: dict[frozenset[T], None] = {frozenset(): None}
    size = 0
    while level and (most is None or size <= most):
        deeper: dict[frozenset[T], None] = {}
        for node in level:
            if any(one <= node for one in found):
                continue
            conflict = unmet(node)
            if conflict is None:
                found.append(node)
                yield node
            else:
                for part in sorted(conflict, key=place.__getitem__):
                    deeper[node | {part}] = None
        level = deeper
        size += 1


def _least(
    parts: Sequence[T], consistent: Callable[[frozenset[T]], bool]
) -> frozenset[T]:
    """Return a minimal conflict among parts that are one: leave out what may go."""
    kept = frozenset(parts)
    for part in parts:
        if not consistent(kept - {part}):
            kept -= {part}
    return kept


def _places(parts: frozenset[T], place: dict[T, int]) -> list[int]:
    return sorted(place[part] for part in parts)
