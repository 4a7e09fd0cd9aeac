"""Regulators hold their output when powered, feedback and all.

The output is the kind's stated voltage; a shunt reference stands at 2.495 V with its
reference pin on its cathode, and at V (1 + R1/R2) behind a divider (any data sheet).
"""

import pytest

from tracegraph.network.circuit import compile_stage
from tracegraph.network.dense import powered
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read


@pytest.mark.parametrize(
    ("lines", "net", "volts"),
    [
        ("U1 regulator 12V in=V gnd=G out=O\nR1 120R O -- G", "O", 12.0),
        ("R1 1k V -- K\nU1 shuntreg ref=K a=G k=K\nR2 10k K -- G", "K", 2.495),
        (
            "R1 1k V -- K\nU1 shuntreg ref=M a=G k=K\nR2 10k K -- M\nR3 10k M -- G",
            "K",
            4.99,
        ),
    ],
    ids=["linear", "shunt reference", "shunt behind a divider"],
)
def test_a_regulator_holds_its_output(lines: str, net: str, volts: float) -> None:
    text = f"ground G\nrail V 18V\n{lines}\nstate on\n"
    circuit = compile_stage(read(from_text("bench", text)), "on")
    levels, residual, converged = powered(circuit, ground=circuit.nodes["G"])
    assert converged.all()
    assert residual.max() < 1e-9
    assert levels[0, circuit.nodes[net]] == pytest.approx(volts, rel=0.005)
