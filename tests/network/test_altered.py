"""The fast way to a changed section against the plain one."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracegraph.network.altered import altered, altered_readings, compiled, port_keys
from tracegraph.network.circuit import Circuit, compile_stage
from tracegraph.network.drive import Drive
from tracegraph.network.ports import solve_pairs
from tracegraph.notation.source import from_text
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import (
    Add,
    Become,
    Change,
    Cut,
    Permute,
    Remove,
    Split,
    Tie,
    Vary,
)
from tracegraph.stage.kinds import find_kind
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.read import read

FAN = """
stage "server fan driver"
ground COM
rail P24 24V
rest P24 -- COM 3k3
input PWM 0V / 5V via 330R 25kHz 50%
R1  1k    PWM -- B
R2  22k   B -- COM
Q1  npn   b=B c=N e=COM hfe=200
R3  2k2   P24 -- N
Q2  pnp   b=N e=P24 c=DRV
D1  zener 15V   DRV -> COM
R4  47R   DRV -- GATE
C1  2n2   GATE -- COM
R5  10k   GATE -- COM
Q3  nfet  g=GATE d=OUT s=S vgsth=3V
R6  0R1   S -- COM
D2  schottky OUT -> P24
"""
STAGE = read(from_text("fan", FAN))
DIODE = Drive(1e-3, np.inf, 3.2)
PAIRS = [("GATE", "COM"), ("P24", "OUT"), ("Q1.c", "Q1.e"), ("COM", "DRV"), ("S", "B")]


def _fitted(ref: str, word: str, pins: dict[str, str], **given: Quantity) -> Part:
    kind = find_kind(word)
    assert kind is not None
    return Part(ref, kind, pins, given)


ONE_OF_EACH: list[Change] = [
    Cut(Pin("R5", "1")),
    Cut(Pin("Q2", "b")),
    Tie("GATE", "S"),
    Tie("GATE", "COM", 150.0),
    Vary("R3", "r", exact(4.7e3, "ohm")),
    Vary("Q1", "hfe", exact(40.0, "")),
    Permute("D2", {"a": "k", "k": "a"}),
    Permute("Q1", {"b": "c", "c": "e", "e": "b"}),
    Become("Q2", "npn"),
    Become("D1", "diode"),
    Remove("Q3"),
    Remove("R6"),
    Split("COM", (Pin("R5", "2"), Pin("C1", "2"))),
    Add(_fitted("R99", "resistor", {"1": "OUT", "2": "COM"}, r=exact(680.0, "ohm"))),
    Add(_fitted("D99", "diode", {"a": "S", "k": "PWM"})),
]
changes = st.lists(st.sampled_from(ONE_OF_EACH), max_size=4, unique_by=repr)


def assert_same(one: Circuit, other: Circuit) -> None:
    """Hold two circuits equal, number by number."""
    assert one.nodes == other.nodes
    assert one.placed == other.placed
    for name, ends in one.ends.items():
        assert (ends == other.ends[name]).all()
    for name in ("values", "low", "high"):
        assert (getattr(one, name) == getattr(other, name)).all()
    for name, numbers in one.fixed.items():
        assert (numbers == other.fixed[name]).all()


@pytest.mark.parametrize("change", ONE_OF_EACH, ids=lambda one: type(one).__name__)
def test_every_change_the_fast_way(change: Change) -> None:
    fast = altered(compiled(STAGE), (change,)).circuit
    assert_same(fast, compile_stage(apply(STAGE, (change,))))
    base = compiled(STAGE).circuit
    assert (fast.placed, fast.nodes) != (base.placed, base.nodes)


@given(changes)
def test_changes_together_the_fast_way(made: list[Change]) -> None:
    plain = compile_stage(apply(STAGE, made))
    assert_same(altered(compiled(STAGE), made).circuit, plain)


@given(changes, changes)
def test_changes_upon_changes(first: list[Change], then: list[Change]) -> None:
    then = [one for one in then if one not in first]  # nothing is added twice
    plain = apply(STAGE, [*first, *then])
    twice = altered(altered(compiled(STAGE), first), then)
    assert_same(twice.circuit, compile_stage(plain))


def test_what_no_change_touches_is_kept() -> None:
    base = compiled(STAGE)
    after = altered(base, (Vary("R3", "r", exact(4.7e3, "ohm")),))
    kept = [ref for ref in base.laid if after.laid[ref] is base.laid[ref]]
    assert sorted({*base.laid} - {*kept}) == ["R3"]


@settings(max_examples=20)
@given(st.lists(changes, min_size=1, max_size=3))
def test_readings_are_those_of_a_fresh_solve(alterations: list[list[Change]]) -> None:
    base = compiled(STAGE)
    found = altered_readings(base, alterations, PAIRS, DIODE)
    for made, one in zip(alterations, found, strict=True):
        stage = apply(STAGE, made)
        circuit = compile_stage(stage)
        nodes = [[circuit.nodes[stage.net(x) or x] for x in two] for two in PAIRS]
        fresh = solve_pairs(circuit, np.array(nodes), DIODE)
        assert one.converged.all()
        assert one.volts == pytest.approx(fresh.volts, abs=1e-7)
        assert (one.open == fresh.open).all()


def test_every_port_has_a_name_of_its_own() -> None:
    circuit = compiled(STAGE).circuit
    keys = port_keys(circuit)
    assert len(set(keys)) == len(keys) == len(circuit.ports)
