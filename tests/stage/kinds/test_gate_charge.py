"""What a gate takes in: the data sheet's three figures, and what they imply."""

import numpy as np
import pytest

from tracegraph.network.curve import Curve
from tracegraph.notation.source import from_text
from tracegraph.stage.branch import Store
from tracegraph.stage.kinds.gate_charge import GateCharge, bend_volts, gate_charge
from tracegraph.stage.part import Part
from tracegraph.stage.read import read


def part(words: str) -> Part:
    stage = read(from_text("text", f"ground COM\nQ1 {words}\n"))
    found = stage.part("Q1")
    assert found
    return found


def charge(words: str) -> GateCharge:
    return gate_charge(part(words))


WRITTEN = "nfet g=G d=D s=COM ciss=1n8 crss=30p qg=42n rating 500V 13A"


def test_cold_capacitances_are_the_data_sheets() -> None:
    """Ciss = Cgs + Cgd and Crss = Cgd (IEC 60747-8): what a meter's test sees."""
    one = part(WRITTEN)
    low, high = (b for b in one.kind.cold(one) if isinstance(b, Store))
    assert low.farads.typical == pytest.approx(1.77e-9)
    assert high.farads.typical == pytest.approx(30e-12)


def test_the_two_charges_make_qg_by_plain_integration() -> None:
    """Cgd from the drain at 400 V over a gate at 0 V, to 10 V under a gate at 10 V."""
    found = charge(WRITTEN)
    bend = bend_volts(found.full_farads, 30e-12, 25.0)
    over = np.linspace(-10.0, 400.0, 2_000_001)
    farads = found.full_farads / np.sqrt(1 + np.maximum(over, 0) / bend)
    moved = float(((farads[1:] + farads[:-1]) / 2 * np.diff(over)).sum())
    assert 1.77e-9 * 10 + moved == pytest.approx(42e-9, rel=1e-3)
    assert np.interp(25.0, over, farads) == pytest.approx(30e-12, rel=1e-6)


def test_charge_and_volts_undo_each_other() -> None:
    curve = Curve(np.array([2e-9, 2e-9]), np.array([0.01, 0.01]), np.array([-1.0, 1.0]))
    for volts in (-300.0, -1.0, -1e-3, 0.0, 1e-3, 7.0):
        both = np.array([volts, volts])
        assert curve.volts(curve.charge(both)[0]) == pytest.approx(both, abs=1e-9)


def test_capacitance_is_the_slope_of_charge() -> None:
    curve = Curve(np.array([2e-9]), np.array([0.5]), np.array([-1.0]))
    for volts in (-40.0, -0.2, 0.3, 9.0):
        step = np.array([1e-6])
        up, down = (curve.charge(np.array([volts]) + s)[0] for s in (step, -step))
        slope = (up - down) / (2 * step)
        assert slope == pytest.approx(curve.charge(np.array([volts]))[1], rel=1e-5)


def test_an_unwritten_charge_goes_with_the_gates_size() -> None:
    """The usual 40 nC belong to the usual 1.5 nF: twice the gate, twice the charge."""
    found = charge("nfet g=G d=D s=COM ciss=3n")
    assert not found.written
    assert found.coulombs == pytest.approx(80e-9)


def test_a_charge_that_ciss_alone_exceeds_is_odd() -> None:
    found = charge("nfet g=G d=D s=COM ciss=5n crss=40p qg=10n")
    assert found.odd
    assert found.full_farads == pytest.approx(40e-12)


@pytest.mark.parametrize(("kind", "volts"), [("igbt", 15.0), ("sicfet", 18.0)])
def test_each_kind_is_tested_at_its_own_gate_volts(kind: str, volts: float) -> None:
    pins = "g=G c=D e=COM" if kind == "igbt" else "g=G d=D s=COM"
    assert charge(f"{kind} {pins}").volts == volts
