"""What a reading is expected to tell, in bits, before it is taken.

Hypotheses have weights, and each says how likely every outcome of a reading is. What
the reading tells of the hypotheses is their mutual information: C. E. Shannon, A
mathematical theory of communication, 1948; choosing the next measurement by it: J. de
Kleer and B. C. Williams, Diagnosing multiple faults, 1987; both from memory.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def entropy(chances: Floats) -> Floats:
    """Return the entropy in bits along the last axis; rows add up to one.

    >>> float(entropy(np.array([0.25, 0.25, 0.5])))
    1.5
    """
    bits: Floats = -_times_log(np.asarray(chances, float)).sum(axis=-1)
    return bits


def expected_bits(weights: Floats, chances: Floats) -> Floats:
    """Return the information that is expected of each probe, in bits.

    `H(outcomes) - sum over hypotheses of weight times H(outcomes given it)`.

    Args:
        weights: Weights of the hypotheses, (H,); they need not add up to one.
        chances: How likely an outcome is under a hypothesis, (..., H, outcomes); each
            row adds up to one. Probes with fewer outcomes have zeros in the rest.

    Raises:
        ValueError: If no hypothesis has any weight, or a weight is negative.
    """
    share = _shares(weights)
    chances = np.asarray(chances, float)
    mixed = np.einsum("h,...ho->...o", share, chances)
    told = entropy(mixed) - entropy(chances) @ share
    return np.maximum(told, 0.0)  # rounding only: it is never negative


def updated(weights: Floats, likelihoods: Floats) -> Floats:
    """Return the weights after an outcome, adding up to one (Bayes' rule).

    Args:
        weights: Weights of the hypotheses, (H,).
        likelihoods: How likely the outcome was under each, (H,).

    Raises:
        ValueError: If no hypothesis allows the outcome.
    """
    return _shares(np.asarray(weights, float) * likelihoods)


def entropy_bound(weights: Floats, best_bits: float) -> float:
    """Return how many readings are needed on the mean at least to tell all apart.

    Each reading takes off `best_bits` at the most, so no plan does with fewer than
    the entropy of the weights over that.

    Args:
        weights: Weights of the hypotheses before any reading; they need not add up to
            one. What no reading tells apart counts as one hypothesis.
        best_bits: What one reading can tell at the very most, whatever was read
            before: the logarithm to base 2 of its number of outcomes holds always.

    >>> entropy_bound(np.ones(8), best_bits=1.0)
    3.0
    """
    left = float(entropy(_shares(weights)))
    if left <= 0.0:
        return 0.0
    return left / best_bits if best_bits > 0.0 else float("inf")


def by_information_for_cost(
    bits: Floats | Sequence[float], costs: Floats | Sequence[float], least: float = 0.0
) -> tuple[int, ...]:
    """Return the indices of the probes worth taking, most bits for their cost first.

    Among equals the one that tells more comes first, then the one listed first.

    Args:
        bits: Information expected of each probe.
        costs: What each costs; above zero.
        least: Probes that tell no more than this are not worth taking.

    Raises:
        ValueError: If a cost is not above zero.

    >>> by_information_for_cost([1.0, 0.9, 0.0], [4.0, 1.0, 1.0])
    (1, 0)
    """
    told, price = np.asarray(bits, float), np.asarray(costs, float)
    if not (price > 0.0).all():
        raise ValueError("a reading costs more than nothing")
    rate = told / price
    worth = [k for k in range(len(told)) if told[k] > least]
    return tuple(sorted(worth, key=lambda k: (-rate[k], -told[k], k)))


def _times_log(chances: Floats) -> Floats:
    """Return p log2 p, which is zero where p is."""
    return chances * np.log2(np.where(chances > 0.0, chances, 1.0))


def _shares(weights: Floats) -> Floats:
    weights = np.asarray(weights, float)
    total = float(weights.sum())
    if not (total > 0.0 and np.isfinite(total) and (weights >= 0.0).all()):
        raise ValueError("hypotheses need weights from zero up, and not zero all")
    return weights / total
