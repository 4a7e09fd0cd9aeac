"""Whatever way leads to rest, the rest is the same."""

from collections.abc import Callable
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.network.circuits import every_pair
from tests.sections import section
from tracegraph.network import detours
from tracegraph.network.circuit import Floats, compile_placed
from tracegraph.network.dense import problem_of
from tracegraph.network.drive import Drive
from tracegraph.network.newton import Problem, State, newton
from tracegraph.network.system import system

OHMS = Drive(0.4 / 12e3, 12e3, 0.4)


@pytest.mark.parametrize("detour", [detours._ramp, detours._settle, detours._soften])
@given(st.integers(0, 10**9))
@settings(max_examples=5)
def test_every_detour_leads_to_the_same_rest(
    detour: Callable[[Problem, Floats], State], seed: int
) -> None:
    net = compile_placed(*section(Random(seed), 6, semiconductors=0.3))
    equations = system(net)
    problem = problem_of(equations, every_pair(net)[::6], OHMS, net.values)
    start = np.zeros((len(problem.probes), equations.tree.potentials.shape[1]))
    straight, round_about = newton(problem, start), detour(problem, start)
    assert straight.converged.all()
    assert round_about.converged.all()
    across = [
        np.einsum("ij,ij->i", problem.probes, state.unknowns)
        for state in (straight, round_about)
    ]
    assert across[0] == pytest.approx(across[1], abs=1e-7)
