"""Branches switched off and branches left out are the same to every reading."""

import numpy as np
import pytest

from tracegraph.network.circuit import compile_stage
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.network.place import place_part
from tracegraph.network.retune import retuned, without
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.read import read

TEXT = """\
ground G
R1 1k A -- B
D1 diode B -> G
Q1 npn b=B c=A e=G
Q2 nfet g=A d=B s=G
R2 4k7 B -- G
C1 1u A -- G
"""
DIODE_TEST = Drive(1e-3, np.inf, 3.2)


@pytest.mark.parametrize("ref", ["R1", "R2", "D1", "Q1", "Q2", "C1"])
def test_a_part_switched_off_is_as_good_as_gone(ref: str) -> None:
    circuit = compile_stage(read(from_text("bench", TEXT)))
    nodes = circuit.nodes
    pairs = np.array([[nodes["A"], nodes["G"]], [nodes["G"], nodes["A"]]])
    off, _ = solve_items(retuned(circuit, off=[ref]), pairs, DIODE_TEST)
    gone, _ = solve_items(without(circuit, [ref]), pairs, DIODE_TEST)
    assert off.converged.all()
    assert gone.converged.all()
    np.testing.assert_allclose(off.volts, gone.volts, atol=1e-6)


def test_what_is_left_keeps_its_values() -> None:
    stage = read(from_text("bench", TEXT))
    circuit = compile_stage(stage)
    part = stage.part("R2")
    assert part is not None
    other = part.with_given("r", exact(10e3, "ohm"))
    tuned = without(retuned(circuit, tuned=place_part(other, cold=True)), ["R1"])
    assert tuned.column("Conductor.ohms").tolist() == [10e3]
    assert [one.owner for one in tuned.placed].count("Q2") == 4
    assert tuned.counts["Transistor"] == 1
