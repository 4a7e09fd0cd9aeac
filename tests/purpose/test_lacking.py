"""One batch with branches switched off, against sections written without the part."""

import pytest

from tests.purpose.sections import RELAY, example, section
from tracegraph.meter.live.lacking import Way, seen
from tracegraph.network.circuit import compile_stage
from tracegraph.network.dense import powered
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change, Remove, Tie
from tracegraph.stage.state import in_state

BOARD = "treadmill-gate-drive"
SURE = 1e6  # ohms: what is held by more stands where leakage puts it


def levels(state: str, change: Change) -> dict[str, float]:
    """Return the levels of the section with a change really made."""
    stage = in_state(apply(example(BOARD), [change], keep_names=True), state)
    circuit = compile_stage(stage, state)
    volts, _, converged = powered(circuit)
    assert converged.all()
    zero = volts[0, circuit.nodes["COM"]]
    return {net: float(volts[0, node] - zero) for net, node in circuit.nodes.items()}


@pytest.mark.parametrize("state", ["run", "stop"])
def test_a_part_switched_off_is_a_part_taken_out(state: str) -> None:
    refs = [one.ref for one in example(BOARD).parts]
    found = seen(example(BOARD), state, [Way((ref,)) for ref in refs])
    for ref, one in zip(refs, found, strict=True):
        assert one
        wanted = levels(state, Remove(ref))
        for net, volts in one.volts.items():
            if one.ohms[net] < SURE and net in wanted:
                assert volts == pytest.approx(wanted[net], abs=2e-3), (ref, net)


@pytest.mark.parametrize("ends", [("GATE", "COM"), ("PULL", "COM"), ("SPD", "NB")])
def test_a_closed_path_is_a_bridge(ends: tuple[str, str]) -> None:
    (one,) = seen(example(BOARD), "run", [Way((), ends)])
    assert one
    wanted = levels("run", Tie(*ends, 1e-3))
    assert one.volts["GATE"] == pytest.approx(wanted["GATE"], abs=5e-3)
    assert one.volts["NB"] == pytest.approx(wanted["NB"], abs=5e-3)


def test_what_holds_a_net_is_the_resistances_beside_each_other() -> None:
    held, apart = seen(section(RELAY), "off", [Way(), Way(("input ON",))])
    assert held
    assert apart
    beside = 10e3 * 2300 / (10e3 + 2300)  # R2 beside R1 and the controller's 100 ohm
    assert held.ohms["B"] == pytest.approx(beside, rel=1e-2)
    assert apart.ohms["B"] == pytest.approx(10e3, rel=1e-2)


def test_without_rail_and_controller_nothing_flows() -> None:
    (base, gone) = seen(section(RELAY), "on", [Way(), Way(("rail P12", "input ON"))])
    assert base
    assert gone
    assert gone.amps["K1"] == pytest.approx(0.0, abs=1e-9)
    assert base.amps["K1"] == pytest.approx(12 / 270, rel=0.02)
