"""Information of a reading, against scipy and the laws of information."""

from functools import cache
from math import log2

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.typing import NDArray
from scipy.special import entr, rel_entr

from tracegraph.diagnose.information import (
    by_information_for_cost,
    entropy,
    entropy_bound,
    expected_bits,
    updated,
)

Floats = NDArray[np.float64]
PROBES, HYPOTHESES, OUTCOMES = 3, 4, 5
amounts = st.one_of(st.just(0.0), st.floats(1e-6, 1.0))


@st.composite
def probes(draw: st.DrawFn) -> Floats:
    """Draw chances of outcomes, some of them zero, each row adding up to one."""
    shape = (PROBES, HYPOTHESES, OUTCOMES)
    raw = draw(arrays(float, shape, elements=amounts))
    raw[..., 0] += (raw.sum(axis=-1) == 0.0).astype(float)
    chances: Floats = raw / raw.sum(axis=-1, keepdims=True)
    return chances


weighed = arrays(float, HYPOTHESES, elements=st.floats(1e-6, 1.0))


@given(probes())
def test_entropy_is_scipys(chances: Floats) -> None:
    expected = entr(chances).sum(axis=-1) / np.log(2)
    np.testing.assert_allclose(entropy(chances), expected, atol=1e-12)


@given(probes(), weighed)
def test_information_is_the_mean_divergence_from_the_mixture(
    chances: Floats, weights: Floats
) -> None:
    """The other form of mutual information, with scipy's relative entropy."""
    share = weights / weights.sum()
    for probe, bits in zip(chances, expected_bits(weights, chances), strict=True):
        mixed = share @ probe
        apart = [rel_entr(row, mixed).sum() / np.log(2) for row in probe]
        assert bits == pytest.approx(float(share @ np.array(apart)), abs=1e-9)


@given(probes(), weighed)
def test_information_keeps_within_its_bounds(chances: Floats, weights: Floats) -> None:
    bits = expected_bits(weights, chances)
    most = min(log2(OUTCOMES), float(entropy(weights / weights.sum())))
    assert (bits >= 0.0).all()
    assert (bits <= most + 1e-9).all()


@given(probes(), weighed)
def test_a_reading_that_is_the_same_for_all_tells_nothing(
    chances: Floats, weights: Floats
) -> None:
    same = np.repeat(chances[:, :1], HYPOTHESES, axis=1)
    np.testing.assert_allclose(expected_bits(weights, same), 0.0, atol=1e-12)


@given(probes(), weighed)
def test_information_is_what_the_weights_lose_in_entropy(
    chances: Floats, weights: Floats
) -> None:
    """Averaged over what the reading may show, by Bayes' rule."""
    share = weights / weights.sum()
    left = 0.0
    for outcome in range(OUTCOMES):
        chance = float(share @ chances[0, :, outcome])
        if chance > 0.0:
            left += chance * float(entropy(updated(weights, chances[0, :, outcome])))
    told = float(entropy(share)) - left
    assert expected_bits(weights, chances[0]) == pytest.approx(told, abs=1e-9)


def test_a_reading_that_halves_tells_one_bit() -> None:
    halves = np.array([[1.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.0, 1.0]])
    assert expected_bits(np.ones(4), halves) == pytest.approx(1.0)


@st.composite
def plans(draw: st.DrawFn) -> tuple[Floats, tuple[tuple[bool, ...], ...]]:
    """Draw yes-or-no readings that tell all hypotheses apart together."""
    number = draw(st.integers(2, 6))
    weights = np.array(
        draw(st.lists(st.floats(0.01, 1.0), min_size=number, max_size=number))
    )
    row = st.tuples(*[st.booleans()] * number)
    singles = [tuple(k == n for k in range(number)) for n in range(number - 1)]
    return weights / weights.sum(), (*draw(st.lists(row, max_size=5)), *singles)


@given(plans())
def test_no_plan_does_with_fewer_readings_than_the_bound(
    plan: tuple[Floats, tuple[tuple[bool, ...], ...]],
) -> None:
    """The best of all plans, by looking at all of them; Huffman's is within one."""
    weights, rows = plan

    @cache
    def best(left: frozenset[int]) -> float:
        if len(left) < 2:
            return 0.0
        whole = sum(weights[h] for h in left)
        costs = []
        for row in rows:
            yes = frozenset(h for h in left if row[h])
            if yes and yes != left:
                costs.append(whole + best(yes) + best(left - yes))
        return float(min(costs))

    assert best(frozenset(range(len(weights)))) >= entropy_bound(weights, 1.0) - 1e-9


def test_the_bound_where_nothing_is_left_or_nothing_can_be_told() -> None:
    assert entropy_bound(np.array([0.0, 3.0]), 1.0) == 0.0
    assert entropy_bound(np.array([0.0, 3.0]), 0.0) == 0.0
    assert entropy_bound(np.ones(2), 0.0) == float("inf")


def test_a_dear_reading_has_to_tell_more() -> None:
    """A leg lifted costs thirty probes here; the same bits for the first of two."""
    bits, costs = [0.5, 2.0, 0.5, 0.0], [1.0, 30.0, 1.0, 1.0]
    assert by_information_for_cost(bits, costs) == (0, 2, 1)
    assert by_information_for_cost(bits, costs, least=0.6) == (1,)
    assert by_information_for_cost([], []) == ()


@pytest.mark.parametrize("cost", [0.0, -1.0, float("nan")])
def test_no_reading_is_free(cost: float) -> None:
    with pytest.raises(ValueError, match="costs more than nothing"):
        by_information_for_cost([1.0], [cost])


@pytest.mark.parametrize("weights", [[0.0, 0.0], [-1.0, 2.0], [float("nan"), 1.0]])
def test_weights_are_not_negative_and_not_all_zero(weights: list[float]) -> None:
    with pytest.raises(ValueError, match="weights"):
        expected_bits(np.array(weights), np.ones((2, 1)))
