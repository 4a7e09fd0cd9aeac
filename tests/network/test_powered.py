"""Levels of live sections against textbook examples.

Sedra & Smith, Microelectronic Circuits, DC examples of bipolar and MOS circuits (from
memory). Their answers take the base-emitter voltage as 0.7 V at any current. A slope
of 1 mV a decade makes it so within 1 mV; what is left is their rounding to two or
three digits, hence 1 % unless said otherwise.
"""

import numpy as np
import pytest

from tests.network.circuits import circuit
from tests.sections import drop_at, junction, resistor
from tracegraph.network.circuit import Circuit
from tracegraph.network.currents import terminal_currents
from tracegraph.network.dense import powered
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.branch import Channel, Follower, Source, Transistor


def transistor(
    polarity: int = 1,
    *,
    slope: float = 1e-3,
    gain: float = 100.0,
    reverse_gain: float = 1.0,
) -> Transistor:
    """Return a transistor of 0.7 V at 1 mA."""
    return Transistor(
        "b",
        "c",
        "e",
        polarity,
        drop_at(0.7, 1e-3),
        exact(slope, "V/dec"),
        exact(gain, ""),
        exact(reverse_gain, ""),
        exact(0.0, "A"),
        drop_at(6.0, 1e-3),
    )


def supply(volts: float, ohms: float = 0.01) -> Source:
    """Return a stiff supply."""
    return Source("+", "-", exact(volts, "V"), exact(ohms, "ohm"))


def levels(net: Circuit, *names: str) -> list[float]:
    """Return the volts of nets over COM; the solve must be trusted."""
    nodes, residual, converged = powered(net, ground=net.nodes["COM"])
    assert converged[0]
    assert residual[0] < 1e-9
    return [float(nodes[0, net.nodes[name]]) for name in names]


def legs(net: Circuit) -> list[float]:
    """Return the currents into base, collector and emitter of the only transistor."""
    nodes, _, _ = powered(net, ground=net.nodes["COM"])
    return [float(amps) for amps in terminal_currents(net, nodes)["Transistor"][0, 0]]


def emitter_resistor(base: float, part: Transistor) -> Circuit:
    """Return the stage with 3.3 k in the emitter and 4.7 k from the collector to 10 V."""
    return circuit(
        (supply(10.0), "P10 COM"),
        (supply(base), "B COM"),
        (resistor(4.7e3), "P10 C"),
        (resistor(3.3e3), "E COM"),
        (part, "B C E"),
    )


def test_an_active_stage_with_four_volts_on_its_base() -> None:
    net = emitter_resistor(4.0, transistor())
    assert levels(net, "E", "C") == pytest.approx([3.3, 5.3], rel=0.01)
    base, collector, emitter = legs(net)
    assert (collector, -emitter) == pytest.approx((0.99e-3, 1e-3), rel=0.01)
    assert base == pytest.approx(0.01e-3, rel=0.02)


def test_a_saturated_stage_with_six_volts_on_its_base() -> None:
    """The example takes 0.2 V from collector to emitter.

    At 60 mV a decade and a forced gain of 1.5 Ebers and Moll's formula gives that for
    a reverse gain of 1.16e-3. The drop moves 10 mV with the current then: 2 %.
    """
    net = emitter_resistor(6.0, transistor(slope=0.06, reverse_gain=1.16e-3))
    assert levels(net, "E", "C") == pytest.approx([5.3, 5.5], abs=0.02)
    base, collector, emitter = legs(net)
    told = (0.64e-3, 0.96e-3, 1.6e-3)
    assert (base, collector, -emitter) == pytest.approx(told, rel=0.02)


def test_a_stage_biased_by_a_divider() -> None:
    net = circuit(
        (supply(15.0), "P15 COM"),
        (resistor(100e3), "P15 B"),
        (resistor(50e3), "B COM"),
        (resistor(5e3), "P15 C"),
        (resistor(3e3), "E COM"),
        (transistor(), "B C E"),
    )
    assert levels(net, "B", "C") == pytest.approx([4.57, 8.6], rel=0.01)
    assert -legs(net)[2] == pytest.approx(1.29e-3, rel=0.01)


def test_a_pnp_stage_between_two_rails() -> None:
    net = circuit(
        (supply(10.0), "P10 COM"),
        (supply(-10.0), "N10 COM"),
        (resistor(2e3), "P10 E"),
        (resistor(1e3), "C N10"),
        (transistor(-1), "COM C E"),
    )
    assert levels(net, "C") == pytest.approx([-5.4], rel=0.01)
    assert legs(net)[2] == pytest.approx(4.65e-3, rel=0.01)


def test_a_mosfet_stage_biased_by_a_divider() -> None:
    """Vt 1 V, 1 mA/V2: in our terms 1 kohm over 9 V of drive, 111 ohm at 10 V."""
    on_ohms = Quantity(*(1e3 / 9,) * 3, "ohm", at=10.0)
    net = circuit(
        (supply(10.0), "P10 COM"),
        (resistor(10e6), "P10 G"),
        (resistor(10e6), "G COM"),
        (resistor(6e3), "P10 D"),
        (resistor(6e3), "S COM"),
        (Channel("g", "d", "s", 1, exact(1.0, "V"), on_ohms), "G D S"),
    )
    assert levels(net, "G", "D", "S") == pytest.approx([5, 7, 3], rel=1e-3)


@pytest.mark.parametrize("forced", [1.0, 5.0, 20.0, 50.0])
def test_saturation_voltage_is_that_of_ebers_and_moll(forced: float) -> None:
    """VCEsat = Vt ln[(1 + (bf + 1) / bR) / (1 - bf / bF)] (Ebers & Moll, 1954)."""
    fold = 0.06 / np.log(10)
    told = fold * np.log((1 + (forced + 1) / 2.0) / (1 - forced / 100.0))
    net = circuit(
        (supply(1e4, 1e7), "C COM"),
        (supply(1e4, 1e7 * forced), "B COM"),
        (transistor(slope=0.06, reverse_gain=2.0), "B C COM"),
    )
    assert levels(net, "C")[0] == pytest.approx(told, rel=1e-3)


def follower(gain: float, threshold: float = 0.0) -> Follower:
    """Return an output of 50 ohm between two rails."""
    volts, ohms = exact(threshold, "V"), exact(50.0, "ohm")
    return Follower("out", "low", "high", "in+", "in-", volts, gain, ohms)


def test_an_operational_amplifier_holds_its_inputs_together() -> None:
    """Inverting, 10 k and 20 k: minus two volts for one, any textbook."""
    net = circuit(
        (supply(15.0), "VP COM"),
        (supply(-15.0), "VN COM"),
        (supply(1.0), "IN COM"),
        (resistor(10e3), "IN SUM"),
        (resistor(20e3), "SUM OUT"),
        (follower(1e4), "OUT VN VP COM SUM"),
    )
    assert levels(net, "OUT", "SUM") == pytest.approx([-2.0, 0.0], abs=2e-3)


@pytest.mark.parametrize(("volts", "level"), [(1.0, 0.0), (4.0, 12.0)])
def test_a_comparator_with_hysteresis_comes_down_on_one_side(
    volts: float, level: float
) -> None:
    net = circuit(
        (supply(12.0), "VP COM"),
        (supply(volts), "IN COM"),
        (supply(2.5), "REF COM"),
        (resistor(10e3), "IN X"),
        (resistor(470e3), "X OUT"),
        (resistor(100e3), "OUT COM"),
        (follower(1e4), "OUT COM VP X REF"),
    )
    assert levels(net, "OUT")[0] == pytest.approx(level, abs=0.02)


def test_a_flip_flop_comes_down_somewhere() -> None:
    parts = [(supply(12.0), "P12 COM")]
    half = [(resistor(1e3), "P12 {c}"), (resistor(10e3), "{c} {b}")]
    net = circuit(
        *parts,
        *((part, nets.format(c="C1", b="B2")) for part, nets in half),
        *((part, nets.format(c="C2", b="B1")) for part, nets in half),
        (transistor(slope=0.06), "B1 C1 COM"),
        (transistor(slope=0.06), "B2 C2 COM"),
    )
    assert 0 < levels(net, "C1")[0] < 12


def test_a_zener_clamps_a_gate_rail() -> None:
    """15 V at 5 mA, 50 mV a decade; 1 k from 20 V carries just 5 mA."""
    net = circuit(
        (supply(20.0), "P20 COM"),
        (resistor(1e3), "P20 Z"),
        (junction(0.7, 0.06, breakdown=15.0), "COM Z"),
    )
    assert levels(net, "Z") == pytest.approx([15.0], abs=1e-3)


def test_each_island_has_its_own_zero() -> None:
    net = circuit(
        (supply(12.0), "P12 COM"), (supply(5.0), "P5 HOT"), (resistor(1e3), "P5 HOT")
    )
    nodes, _, _ = powered(net, ground=net.nodes["P12"])
    assert nodes[0, net.nodes["COM"]] == pytest.approx(-12.0)
    apart = nodes[0, net.nodes["P5"]] - nodes[0, net.nodes["HOT"]]
    assert apart == pytest.approx(5.0, rel=1e-4)


def test_every_board_of_a_batch_has_its_own_supply() -> None:
    net = circuit((supply(12.0), "P COM"), (resistor(1e3), "P COM"))
    values = np.tile(net.values, (3, 1))
    values[:, net.columns["Source.volts"]] = [[5.0], [12.0], [24.0]]
    nodes, _, _ = powered(net, values, ground=net.nodes["COM"])
    assert nodes[:, net.nodes["P"]] == pytest.approx([5, 12, 24], rel=1e-4)
