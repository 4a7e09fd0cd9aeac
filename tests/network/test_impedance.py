"""Admittances at a frequency against the formulas of any textbook."""

from math import pi
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.network.circuits import circuit, every_pair, pair
from tests.sections import junction, resistor, section
from tracegraph.network.circuit import Circuit, compile_placed
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.network.impedance import admittances
from tracegraph.network.place import Placed
from tracegraph.quantity import exact
from tracegraph.stage.branch import Coil, Store

OMEGA = 2 * pi * 100.0


def store(farads: float, series_ohms: float = 0.0) -> Store:
    """Return a capacitor."""
    return Store("1", "2", exact(farads, "F"), series_ohms)


def winding(ohms: float, henries: float) -> tuple[Placed, Placed]:
    """Return a coil with its winding resistance beside it, between A and B."""
    coil = Coil("1", "2", exact(henries, "H"))
    return Placed("L1", resistor(ohms), ("A", "B")), Placed("L1", coil, ("A", "B"))


def at_100_hertz(net: Circuit) -> complex:
    """Return the admittance between A and B."""
    return complex(admittances(net, pair(net, "A", "B"), 100.0)[0])


def test_capacitors_side_by_side_add() -> None:
    net = circuit((store(1e-6), "A B"), (store(470e-9), "B A"))
    assert at_100_hertz(net) == pytest.approx(1j * OMEGA * 1.47e-6, rel=1e-9)


def test_capacitors_in_a_row_share() -> None:
    net = circuit((store(1e-6), "A M"), (store(1e-6), "M B"))
    assert at_100_hertz(net) == pytest.approx(1j * OMEGA * 0.5e-6, rel=1e-9)


def test_a_resistor_beside_and_the_series_resistance_within() -> None:
    net = circuit((store(10e-6, 5.0), "A B"), (resistor(10e3), "A B"))
    wanted = 1 / (5 + 1 / (1j * OMEGA * 10e-6)) + 1e-4
    assert at_100_hertz(net) == pytest.approx(wanted, rel=1e-9)


def test_a_winding_is_resistance_and_inductance_in_a_row() -> None:
    net = compile_placed(winding(0.8, 10e-3), ())
    assert at_100_hertz(net) == pytest.approx(1 / (0.8 + 1j * OMEGA * 10e-3), rel=1e-6)


def test_a_winding_and_a_capacitor_resonate() -> None:
    """10 mH and 253.3 uF at 100 Hz: only the losses are left, R C / L."""
    farads = 1 / (OMEGA**2 * 10e-3)
    coil = winding(0.01, 10e-3)
    net = compile_placed([*coil, Placed("C1", store(farads), ("A", "B"))], ())
    seen = at_100_hertz(net)
    assert seen.real == pytest.approx(0.01 * farads / 10e-3, rel=1e-4)
    assert abs(seen.imag) < seen.real / 100


def test_a_coil_alone_is_its_reactance() -> None:
    net = circuit((Coil("1", "2", exact(1e-3, "H")), "A B"))
    assert at_100_hertz(net) == pytest.approx(1 / (1j * OMEGA * 1e-3), rel=1e-4)


def test_a_junction_counts_with_its_slope_at_its_bias() -> None:
    """2.303 x 1 mA / 60 mV at the test current, next to nothing at rest."""
    net = circuit((junction(0.6, 0.06), "A B"))
    bias = np.zeros((1, net.size))
    bias[0, net.nodes["A"]] = 0.6
    seen = admittances(net, pair(net, "A", "B"), 100.0, bias=bias)[0]
    assert seen == pytest.approx(np.log(10) * 1e-3 / 0.06, rel=1e-6)
    assert abs(at_100_hertz(net)) < 1e-11


def test_nothing_between_is_nothing_and_one_net_is_endless() -> None:
    net = circuit((store(1e-6), "A B"), (resistor(1.0), "C D"))
    pairs = np.concatenate([pair(net, "A", "C"), pair(net, "A", "A")])
    assert admittances(net, pairs, 100.0).tolist() == [0, np.inf]


def test_every_board_of_a_batch_has_its_own_capacitor() -> None:
    net = circuit((store(1e-6), "A B"), (resistor(1e3), "A B"))
    values = np.array([[1e3, 1e-6], [2e3, 2e-6]])
    seen = admittances(net, np.tile(pair(net, "A", "B"), (2, 1)), 100.0, values)
    wanted = [1e-3 + 1j * OMEGA * 1e-6, 0.5e-3 + 1j * OMEGA * 2e-6]
    assert seen == pytest.approx(wanted, rel=1e-9)


@given(st.integers(0, 10**9))
def test_without_capacitors_it_is_a_small_reading(seed: int) -> None:
    """A tenth of a millivolt on the probes moves junctions along their slope at rest."""
    random = Random(seed)
    placed, nets = section(random, 7, semiconductors=0.4)
    net = compile_placed([p for p in placed if not isinstance(p.branch, Store)], nets)
    pairs = every_pair(net)[::5]
    small = Drive(1e-7, 1e3, 1e-4)
    solution, _ = solve_items(net, pairs, small)
    good = ~solution.open & (solution.amps > 1e-11)
    seen = admittances(net, pairs, 100.0)[good]
    wanted = solution.amps[good] / solution.volts[good]
    assert seen.real == pytest.approx(wanted, rel=5e-3)
    assert not seen.imag.any()
