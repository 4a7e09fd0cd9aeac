"""The laws in plain floats are those of the batch."""

from pathlib import Path
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.sections import section
from tracegraph.asking.sources import source_of
from tracegraph.network.circuit import Circuit, compile_placed, compile_stage
from tracegraph.network.device import law, pattern
from tracegraph.network.one import laws_of
from tracegraph.stage.read import read
from tracegraph.stage.state import in_state

EXAMPLES = {
    "treadmill-gate-drive": "run",
    "solar-pump-half-bridge": "brake",
    "welder-igbt-driver": "weld",
    "press-bus-trip": "normal",
}


def same(circuit: Circuit, volts: np.ndarray) -> bool:
    amps = [0.0] * len(circuit.ports)
    slopes = [0.0] * len(pattern(circuit).rows)
    for one in laws_of(circuit, circuit.values):
        one(volts.tolist(), amps, slopes)
    batch = law(circuit, circuit.values, volts)
    return np.allclose(amps, batch.amps, rtol=1e-9, atol=1e-15) and np.allclose(
        slopes, batch.slopes, rtol=1e-9, atol=1e-12
    )


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_live_devices(name: str) -> None:
    stage = read(source_of(Path(f"examples/{name}.trace")))
    state = EXAMPLES[name]
    circuit = compile_stage(in_state(stage, state), state)
    random = np.random.default_rng(1)
    for scale in (0.05, 0.7, 5.0, 30.0):
        assert same(circuit, random.uniform(-scale, scale, len(circuit.ports)))


@given(st.integers(0, 10_000), st.floats(0.01, 40.0))
def test_any_section(seed: int, scale: float) -> None:
    placed, nets = section(Random(seed), 6, parts=1.5, semiconductors=0.8)
    circuit = compile_placed(placed, nets)
    random = np.random.default_rng(seed)
    assert same(circuit, random.uniform(-scale, scale, len(circuit.ports)))
