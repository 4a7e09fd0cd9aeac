"""The published example of diagnosing several faults: conflicts, diagnoses, probes."""

from math import inf, log

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.diagnose.polybox import (
    MEASURED,
    PARTS,
    VALUES,
    consistent,
    every_set,
    joint,
    outcomes,
    prior,
)
from tracegraph.diagnose.best_first import Limits, best_first, posterior
from tracegraph.diagnose.conflicts import minimal_conflicts, minimal_diagnoses
from tracegraph.diagnose.information import (
    by_information_for_cost,
    expected_bits,
    updated,
)

SETS = every_set()


def sets(*words: str) -> set[frozenset[str]]:
    return {frozenset(word.split()) for word in words}


def weights(p: float) -> NDArray[np.float64]:
    """Return weights of all sets of faults, non-minimal ones too, after F and G."""
    return np.array([prior(one, p) * joint(one).sum() for one in SETS])


def chances() -> NDArray[np.float64]:
    """Return chances of what X, Y, Z show under each set, (3, sets, values)."""
    return np.array([outcomes(one) for one in SETS]).swapaxes(0, 1)


def test_the_minimal_conflicts_are_the_published_ones() -> None:
    """de Kleer and Williams, 1987, from memory."""
    found = minimal_conflicts(PARTS, consistent)
    assert found == (
        frozenset({"M1", "M2", "A1"}),
        frozenset({"M1", "M3", "A1", "A2"}),
    )


def test_the_minimal_diagnoses_are_the_published_ones() -> None:
    """de Kleer and Williams, 1987, from memory."""
    found = minimal_diagnoses(minimal_conflicts(PARTS, consistent))
    assert set(found) == sets("A1", "M1", "M2 M3", "M2 A2")
    assert [len(one) for one in found] == [1, 1, 2, 2]


@pytest.mark.parametrize(
    ("x", "conflicts"),
    [
        (4, sets("M1")),
        (6, sets("M2 A1", "M3 A1 A2")),
        (5, sets("M1", "M2 A1", "M3 A1 A2")),
    ],
)
def test_a_reading_of_x_splits_them(x: int, conflicts: set[frozenset[str]]) -> None:
    """Worked by hand: 4 is what M1 must have made, 6 is what a healthy one makes."""
    found = minimal_conflicts(PARTS, lambda h: consistent(h, {**MEASURED, "X": x}))
    assert set(found) == conflicts


def test_healthy_outputs_call_for_no_fault() -> None:
    found = minimal_conflicts(PARTS, lambda h: consistent(h, {"F": 12, "G": 12}))
    assert found == ()
    assert minimal_diagnoses(found) == (frozenset(),)


@pytest.mark.parametrize("p", [1e-4, 0.001, 0.01, 0.05])
def test_x_is_measured_first_then_y_then_z(p: float) -> None:
    """de Kleer and Williams, 1987, from memory: X parts the two likeliest, A1 and M1."""
    bits = expected_bits(weights(p), chances())
    assert by_information_for_cost(bits, np.ones(3)) == (0, 1, 2)


def test_with_rare_faults_x_tells_a_whole_bit_and_the_others_hardly_any() -> None:
    """A1 predicts 6 there, M1 predicts 4, and both are equally likely."""
    x, y, z = expected_bits(weights(1e-4), chances())
    assert x == pytest.approx(1.0, abs=2e-3)
    assert 0.0 < z < y < 0.002


def test_once_x_is_known_a_single_fault_leads() -> None:
    for x, blamed in ((6, "A1"), (4, "M1")):
        after = updated(weights(0.001), chances()[0, :, x])
        assert SETS[int(after.argmax())] == frozenset({blamed})
        assert after.max() > 0.99


def test_the_best_explanations_come_in_the_order_of_all_of_them() -> None:
    p = 0.01
    likelihoods = {one: float(joint(one).sum()) for one in SETS}

    def explained(faulty: frozenset[str]) -> float:
        return log(likelihoods[faulty]) if likelihoods[faulty] else -inf

    def bound(faulty: frozenset[str]) -> float:
        """A faulty part shows what it shows in one case of so many, at the best."""
        return -log(VALUES) * min(1, len(faulty))

    limits = Limits(share=1e-9, most=len(PARTS))
    found = list(best_first(dict.fromkeys(PARTS, p), explained, bound, limits=limits))
    shares = weights(p) / weights(p).sum()
    assert [set(one.faults) for one in found[:2]] in (
        [{"A1"}, {"M1"}],
        [{"M1"}, {"A1"}],
    )
    assert all(one.sure for one in found)
    assert posterior(found) == pytest.approx(
        [s for s in sorted(shares, reverse=True) if s > 0][: len(found)], rel=1e-6
    )
