"""What flows where, in sections that one can reckon on paper."""

from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.network.circuits import circuit, every_pair, pair
from tests.sections import junction, resistor, section, transistor
from tracegraph.network.circuit import FIELDS, compile_placed
from tracegraph.network.currents import currents, terminal_currents
from tracegraph.network.dense import powered, solve_items
from tracegraph.network.drive import Drive
from tracegraph.quantity import exact
from tracegraph.stage.branch import Source, Store

DIODE = Drive(1e-3, np.inf, 3.2)


def test_a_milliampere_shares_out_between_two_resistors() -> None:
    net = circuit((resistor(1e3), "A B"), (resistor(3e3), "B A"))
    _, nodes = solve_items(net, pair(net, "A", "B"), DIODE)
    assert currents(net, nodes)[0] == pytest.approx([0.75e-3, -0.25e-3])


def test_a_supply_gives_what_a_resistor_takes_and_a_capacitor_rests() -> None:
    rail = Source("+", "-", exact(12.0, "V"), exact(0.001, "ohm"))
    store = Store("+", "-", exact(1e-6, "F"))
    net = circuit((resistor(12e3), "P COM"), (rail, "P COM"), (store, "P COM"))
    nodes, _, _ = powered(net, ground=net.nodes["COM"])
    assert currents(net, nodes)[0] == pytest.approx([1e-3, -1e-3, 0.0], rel=1e-6)


@pytest.mark.parametrize("polarity", [1, -1])
def test_a_base_current_comes_back_multiplied_at_the_collector(polarity: int) -> None:
    part = transistor(Random(1))._replace(polarity=polarity)
    supply = Source("+", "-", exact(5.0 * polarity, "V"), exact(1.0, "ohm"))
    net = circuit((resistor(1e6), "P B"), (part, "B P COM"), (supply, "P COM"))
    nodes, _, _ = powered(net, ground=net.nodes["COM"])
    base, collector, emitter = terminal_currents(net, nodes)["Transistor"][0, 0]
    gain = net.column("Transistor.gain")[0]
    assert np.sign(base) == np.sign(collector) == polarity
    assert collector / base == pytest.approx(gain, rel=0.01)
    assert base + collector + emitter == pytest.approx(0.0, abs=1e-15)
    assert currents(net, nodes)[0, 1] == pytest.approx(abs(emitter))


@given(st.integers(0, 10**9))
def test_what_flows_into_a_net_flows_out_of_it(seed: int) -> None:
    random = Random(seed)
    net = compile_placed(*section(random, 8, semiconductors=0.5))
    pairs = every_pair(net)[::9]
    solution, nodes = solve_items(net, pairs, DIODE)
    into = np.zeros((len(pairs), net.size))
    items = np.arange(len(pairs))
    for name, legs in terminal_currents(net, nodes).items():
        for ends, amps in zip(net.ends[name], legs.transpose(1, 2, 0), strict=True):
            for end, flow in zip(ends, amps, strict=True):
                into[:, end] += flow
    into[items, pairs[:, 0]] -= solution.amps
    into[items, pairs[:, 1]] += solution.amps
    assert np.abs(into).max() < 1e-9


def test_branches_come_in_the_order_of_the_circuit() -> None:
    net = circuit((junction(0.6, 0.06), "A K"), (resistor(1e3), "A K"))
    _, nodes = solve_items(net, pair(net, "A", "K"), DIODE)
    flows = currents(net, nodes)[0]
    assert [type(one.branch).__name__ for one in net.placed] == [
        "Conductor",
        "Junction",
    ]
    assert flows.sum() == pytest.approx(1e-3)
    assert flows[0] == pytest.approx(nodes[0, net.nodes["A"]] / 1e3)
    assert len(FIELDS) == len(terminal_currents(net, nodes))
