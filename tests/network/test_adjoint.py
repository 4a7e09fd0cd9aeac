"""How readings move with each part, against readings of the moved section."""

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.network.circuits import circuit, every_pair, pair
from tests.sections import junction, resistor, section
from tracegraph.network.adjoint import sensitivities
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_placed
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.quantity import exact
from tracegraph.stage.branch import Source

DIODE = Drive(1e-3, np.inf, 3.2)
OHMS = Drive(0.4 / 12e3, 12e3, 0.4)
BRIGHT = Drive(3.0 / 1e3, 1e3, 3.0)
STEP = 1e-4


def by_solving_again(net: Circuit, pairs: Ints, drive: Drive, column: int) -> Floats:
    """Return the change of readings when one parameter is moved both ways."""
    step = STEP * abs(net.values[column])
    moved = np.tile(net.values, (2 * len(pairs), 1))
    moved[: len(pairs), column] += step
    moved[len(pairs) :, column] -= step
    _, typical = solve_items(net, pairs, drive)
    begin = np.tile(typical, (2, 1))
    found, _ = solve_items(net, np.tile(pairs, (2, 1)), drive, moved, begin)
    up, down = found.volts.reshape(2, -1)
    return np.asarray((up - down) / (2 * step))


@pytest.mark.parametrize("drive", [DIODE, OHMS, BRIGHT])
@given(st.integers(0, 10**9))
@settings(max_examples=12)
def test_a_reading_moves_as_the_moved_section_reads(drive: Drive, seed: int) -> None:
    random = Random(seed)
    placed, nets = section(random, 7, semiconductors=0.4)
    net = compile_placed(placed, nets)
    pairs = every_pair(net)[:: random.choice([7, 11])]
    solution, nodes = solve_items(net, pairs, drive)
    told = sensitivities(net, pairs, drive, solution, nodes)
    for column in random.sample(range(len(net.values)), min(12, len(net.values))):
        scale = abs(net.values[column])
        seen = by_solving_again(net, pairs, drive, column) * scale
        assert told[:, column] * scale == pytest.approx(seen, rel=2e-3, abs=1e-6)


def test_a_divider_moves_with_its_resistors_and_its_rail() -> None:
    """10 k over 10 k from 12 V: 6 V, half a volt a volt, 0.3 mV an ohm."""
    rail = Source("+", "-", exact(12.0, "V"), exact(0.05, "ohm"))
    net = circuit(
        (resistor(10e3), "P12 MID"), (resistor(10e3), "MID COM"), (rail, "P12 COM")
    )
    meter = Drive(0.0, np.inf, 0.0)
    pairs = pair(net, "MID", "COM")
    told = sensitivities(net, pairs, meter, *solve_items(net, pairs, meter))[0]
    assert told[net.columns["Source.volts"]] == pytest.approx(0.5, rel=1e-5)
    assert told[net.columns["Conductor.ohms"]] == pytest.approx([-3e-4, 3e-4], rel=1e-4)


def test_a_diode_test_shows_the_drop_millivolt_for_millivolt() -> None:
    net = circuit((junction(0.6, 0.06), "A K"), (resistor(1e6), "A K"))
    pairs = np.concatenate([pair(net, "A", "K"), pair(net, "A", "A")])
    solution, nodes = solve_items(net, pairs, DIODE)
    told = sensitivities(net, pairs, DIODE, solution, nodes)
    assert told[0, net.columns["Junction.drop"]] == pytest.approx(1.0, abs=1e-3)
    assert not told[1].any()


def test_every_board_of_a_batch_moves_from_where_it_stands() -> None:
    net = circuit((resistor(1e3), "A B"), (junction(0.6, 0.06), "A B"))
    values = np.array([[100.0, 0.6, 0.06, 0, 1e6], [10e3, 0.6, 0.06, 0, 1e6]])
    pairs = np.tile(pair(net, "A", "B"), (2, 1))
    told = sensitivities(
        net, pairs, DIODE, *solve_items(net, pairs, DIODE, values), values
    )
    assert told[0, 0] == pytest.approx(1e-3, rel=1e-3)  # 100R hides the junction
    assert told[1, 1] == pytest.approx(1.0, abs=0.02)  # 10k does not
