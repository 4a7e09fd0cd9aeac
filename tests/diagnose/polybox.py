"""Three multipliers and two adders, of which one output is not as it should be.

J. de Kleer and B. C. Williams, Diagnosing multiple faults, Artificial Intelligence 32,
1987 (from memory): X = A C, Y = B D, Z = C E, F = X + Y, G = Y + Z, with A to E being
3, 2, 2, 3, 3. F should be 12 and is 10; G is 12, as it should be.
"""

from collections.abc import Mapping
from itertools import chain, combinations

import numpy as np
from numpy.typing import NDArray

PARTS = ("M1", "M2", "M3", "A1", "A2")
NETS = ("X", "Y", "Z", "F", "G")
MEASURED: Mapping[str, int] = {"F": 10, "G": 12}
VALUES = 16
"""A faulty part shows any whole number below this: nothing is said of it."""

# What each part makes true while it is healthy: factors of the nets, and their sum.
LAWS: Mapping[str, tuple[Mapping[str, int], int]] = {
    "M1": ({"X": 1}, 3 * 2),
    "M2": ({"Y": 1}, 2 * 3),
    "M3": ({"Z": 1}, 2 * 3),
    "A1": ({"X": 1, "Y": 1, "F": -1}, 0),
    "A2": ({"Y": 1, "Z": 1, "G": -1}, 0),
}


def consistent(healthy: frozenset[str], measured: Mapping[str, int] = MEASURED) -> bool:
    """Return whether any values of the nets obey the healthy parts and the readings.

    A set of linear equations has a solution where its right side adds no rank.
    """
    laws = [LAWS[part] for part in sorted(healthy)]
    laws += [({net: 1}, value) for net, value in measured.items()]
    if not laws:
        return True
    left = np.array([[law.get(net, 0) for net in NETS] for law, _ in laws])
    right = np.array([[total] for _, total in laws])
    whole = np.hstack([left, right])
    return bool(np.linalg.matrix_rank(whole) == np.linalg.matrix_rank(left))


def every_set() -> tuple[frozenset[str], ...]:
    """Return all sets of faulty parts, the empty one first."""
    sizes = range(len(PARTS) + 1)
    return tuple(
        map(frozenset, chain.from_iterable(combinations(PARTS, k) for k in sizes))
    )


def joint(faulty: frozenset[str]) -> NDArray[np.float64]:
    """Return the chance of all X, Y, Z together with the readings of F and G."""
    x, y, z = np.meshgrid(*[np.arange(VALUES)] * 3, indexing="ij")
    shown = {net: np.full_like(x, value) for net, value in MEASURED.items()}
    nets = {"X": x, "Y": y, "Z": z, **shown}
    chance = np.ones(x.shape)
    for part, (law, total) in LAWS.items():
        over = np.sum([factor * nets[net] for net, factor in law.items()], axis=0)
        chance *= 1.0 / VALUES if part in faulty else np.equal(over, total)
    return chance


def outcomes(faulty: frozenset[str]) -> NDArray[np.float64]:
    """Return what X, Y and Z may show after the readings, (3, VALUES)."""
    chance = joint(faulty)
    if not chance.any():
        return np.full((3, VALUES), 1.0 / VALUES)  # ruled out: its weight is zero
    rows = [chance.sum(axis=tuple({0, 1, 2} - {net})) for net in range(3)]
    given: NDArray[np.float64] = np.array(rows) / chance.sum()
    return given


def prior(faulty: frozenset[str], p: float) -> float:
    """Return how likely these parts and no others are faulty."""
    return float(p ** len(faulty) * (1 - p) ** (len(PARTS) - len(faulty)))
