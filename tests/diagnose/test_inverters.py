"""Inverters in a row: far end first, then halve it. The published rule of probing.

J. de Kleer and B. C. Williams, Diagnosing multiple faults, 1987, from memory: with
equally likely faults and nothing measured, the far output is the best place; once it
is wrong, the middle is.
"""

from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray

from tracegraph.diagnose.information import (
    entropy_bound,
    expected_bits,
    updated,
)

Floats = NDArray[np.float64]


def faults(stages: int) -> list[tuple[bool, ...]]:
    return list(product((False, True), repeat=stages))


def prior(stages: int, p: float) -> Floats:
    return np.array(
        [p ** sum(f) * (1 - p) ** (stages - sum(f)) for f in faults(stages)]
    )


def signals(stages: int) -> Floats:
    """Return how likely each stage's output is wrong or right, (stages, faults, 2).

    A faulty stage gives either level, whatever it gets.
    """
    rows = []
    for faulty in faults(stages):
        wrong, row = 0.0, []
        for broken in faulty:
            wrong = 0.5 if broken else wrong
            row.append((1 - wrong, wrong))
        rows.append(row)
    return np.array(rows).swapaxes(0, 1)


def after_a_wrong_end(stages: int, p: float) -> tuple[Floats, Floats]:
    """Return weights and outcomes by brute force: all levels of all nets together."""
    shown = np.zeros((stages, 2**stages, 2))
    whole = np.zeros(2**stages)
    for h, faulty in enumerate(faults(stages)):
        for wrong in product((0, 1), repeat=stages):
            chance, before = 1.0, 0
            for broken, here in zip(faulty, wrong, strict=True):
                chance *= 0.5 if broken else float(here == before)
                before = here
            if wrong[-1]:
                whole[h] += chance
                for stage, here in enumerate(wrong):
                    shown[stage, h, here] += chance
    given = np.divide(
        shown, whole[:, None], out=np.full_like(shown, 0.5), where=whole[:, None] > 0
    )
    return updated(prior(stages, p), whole), given


@pytest.mark.parametrize("stages", [2, 4, 6])
def test_with_nothing_measured_the_far_end_tells_most(stages: int) -> None:
    bits = expected_bits(prior(stages, 0.01), signals(stages))
    assert list(np.argsort(-bits)) == list(range(stages - 1, -1, -1))


@pytest.mark.parametrize("stages", [2, 4, 6])
def test_after_a_wrong_end_the_middle_tells_most(stages: int) -> None:
    weights, given = after_a_wrong_end(stages, 0.01)
    bits = expected_bits(weights, given)
    assert int(bits.argmax()) == stages // 2 - 1
    assert bits.max() == pytest.approx(1.0, abs=0.05)
    assert bits[-1] == pytest.approx(0.0, abs=1e-9)  # it was measured


def test_halving_reaches_the_bound() -> None:
    """Eight stages, one of them faulty and wrong: three readings, no fewer."""
    stages, readings = range(8), 0
    wrong = np.array([[[n < f, n >= f] for f in stages] for n in stages], float)
    weights = np.ones(8)
    while np.count_nonzero(weights) > 1:
        best = int(expected_bits(weights, wrong).argmax())
        weights = updated(weights, wrong[best, :, 1])
        readings += 1
    assert readings == 3 == entropy_bound(np.ones(8), 1.0)
