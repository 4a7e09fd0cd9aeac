"""Conflicts and diagnoses against brute force on small systems."""

from itertools import chain, combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.diagnose.conflicts import minimal_conflicts, minimal_diagnoses

Sets = set[frozenset[int]]
PARTS = tuple(range(6))
families = st.sets(st.frozensets(st.sampled_from(PARTS)), max_size=8)


class System:
    """Parts that contradict each other wherever one of these sets is healthy."""

    def __init__(self, contradictions: Sets) -> None:
        self.contradictions = contradictions
        self.asked = 0

    def __call__(self, healthy: frozenset[int]) -> bool:
        self.asked += 1
        return not any(one <= healthy for one in self.contradictions)


def subsets() -> list[frozenset[int]]:
    sizes = (combinations(PARTS, k) for k in range(len(PARTS) + 1))
    return [frozenset(one) for one in chain.from_iterable(sizes)]


def least(found: list[frozenset[int]]) -> Sets:
    return {one for one in found if not any(other < one for other in found)}


@given(families)
def test_conflicts_are_those_of_brute_force(contradictions: Sets) -> None:
    system = System(contradictions)
    found = minimal_conflicts(PARTS, system)
    assert len(set(found)) == len(found)
    assert set(found) == least([one for one in subsets() if not system(one)])
    assert list(map(len, found)) == sorted(map(len, found))


@given(families)
def test_diagnoses_are_those_of_brute_force(contradictions: Sets) -> None:
    """A diagnosis leaves parts that go together once its own are faulty (Reiter)."""
    system = System(contradictions)
    found = minimal_diagnoses(minimal_conflicts(PARTS, system))
    assert len(set(found)) == len(found)
    explain = [one for one in subsets() if system(frozenset(PARTS) - one)]
    assert set(found) == least(explain)
    assert list(map(len, found)) == sorted(map(len, found))


@given(families)
def test_conflicts_that_are_not_minimal_give_the_same_diagnoses(family: Sets) -> None:
    assert set(minimal_diagnoses(family)) == set(minimal_diagnoses(least([*family])))


@given(families)
def test_hitting_sets_of_hitting_sets_are_the_minimal_sets(family: Sets) -> None:
    """C. Berge, Hypergraphs: the transversals of transversals; from memory."""
    assert set(minimal_diagnoses(minimal_diagnoses(family))) == least([*family])


@given(families, st.integers(0, 3))
def test_a_limit_leaves_out_the_larger_diagnoses_only(family: Sets, most: int) -> None:
    whole = minimal_diagnoses(minimal_conflicts(PARTS, System(family)))
    known = minimal_conflicts(PARTS, System(family), faults=most)
    expected = {one for one in whole if len(one) <= most}
    assert set(minimal_diagnoses(known, most)) == expected
    assert set(known) <= set(minimal_conflicts(PARTS, System(family)))


def test_one_fault_among_many_parts_is_found_with_few_questions() -> None:
    parts = tuple(range(40))
    system = System({frozenset({3, 17, 31}), frozenset({17, 22})})
    known = minimal_conflicts(parts, system, faults=1)
    assert minimal_diagnoses(known, most=1) == (frozenset({17}),)
    assert system.asked < 100


def test_equal_answers_come_in_the_order_of_the_parts() -> None:
    found = minimal_conflicts(("R3", "Q1", "D2"), lambda h: len(h) < 2)
    assert [sorted(one) for one in found] == [["Q1", "R3"], ["D2", "R3"], ["D2", "Q1"]]


@pytest.mark.parametrize("most", [None, 2])
def test_what_nothing_explains_has_no_diagnosis(most: int | None) -> None:
    known = minimal_conflicts(PARTS, lambda _healthy: False, most)
    assert known == (frozenset(),)
    assert minimal_diagnoses(known, most) == ()
