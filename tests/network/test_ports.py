"""Readings through junctions against textbooks, Lambert's W and an independent solve."""

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import root
from scipy.special import lambertw

from tests.network.circuits import circuit, every_pair, pair, resistors
from tests.sections import junction, resistor, section
from tracegraph.network.circuit import Circuit, Floats, compile_placed
from tracegraph.network.dense import solve_items
from tracegraph.network.device import BLOCKED, law, pattern
from tracegraph.network.drive import Drive, trusted
from tracegraph.network.linear import islands, resistances
from tracegraph.network.ports import solve_pairs

DIODE = Drive(1e-3, np.inf, 3.2)
OHMS = {full: Drive(0.4 / (2 * full), 2 * full, 0.4) for full in (600.0, 6e4, 6e6)}
NEEDLE = Drive(1.5 / 20.0, 20.0, 1.5)
seeds = st.integers(0, 10**9)


def supply(volts: float, ohms: float) -> Drive:
    """Return a voltage behind a resistance."""
    return Drive(volts / ohms, ohms, volts)


def test_five_volts_through_one_kilohm_into_a_diode() -> None:
    """Sedra & Smith, Microelectronic Circuits, iterative diode analysis (from memory).

    A diode of 0.7 V at 1 mA and 0.1 V a decade: 4.237 mA and 0.762 V, hand iterated
    to three digits.
    """
    net = circuit((junction(0.7, 0.1), "A K"))
    found = solve_pairs(net, pair(net, "A", "K"), supply(5.0, 1e3))
    assert found.amps[0] == pytest.approx(4.237e-3, abs=2e-6)
    assert found.volts[0] == pytest.approx(0.762, abs=1e-3)


@pytest.mark.parametrize("volts", [0.3, 1.0, 5.0, 12.0])
@pytest.mark.parametrize("ohms", [10.0, 1e3, 1e5])
def test_a_diode_behind_a_resistor_as_lambert_s_w_has_it(
    volts: float, ohms: float
) -> None:
    """Exact solution: Banwell & Jayakumar, Electronics Letters 36(4), 2000."""
    drop, slope = 0.6, 0.06
    fold = slope / np.log(10)
    start = 1e-3 * np.exp(-drop / fold)
    scaled = start * ohms / fold
    # the argument overflows long before W does: W(x) = w with w + ln w = ln x
    level = np.log(scaled) + (volts + start * ohms) / fold
    w = lambertw(np.exp(level)).real if level < 600 else level - np.log(level)
    net = circuit((junction(drop, slope), "A K"))
    found = solve_pairs(net, pair(net, "A", "K"), supply(volts, ohms))
    expected = fold / ohms * w - start
    assert found.amps[0] == pytest.approx(expected, rel=1e-6, abs=2 * BLOCKED * volts)


@pytest.mark.parametrize(
    ("ohms", "shown"),
    [(100.0, 0.10), (330.0, 0.33), (560.0, 0.53), (1e3, 0.58), (10e3, 0.598)],
)
def test_a_resistor_across_a_good_junction(ohms: float, shown: float) -> None:
    """Diode test of 1 mA, 60 mV a decade (common practice, no source)."""
    net = circuit((junction(0.6, 0.06), "A K"), (resistor(ohms), "A K"))
    found = solve_pairs(net, pair(net, "A", "K"), DIODE)
    assert found.volts[0] == pytest.approx(shown, abs=5e-3)


def test_a_bare_resistor_reads_its_drop_both_ways() -> None:
    net = resistors([("A", "B", 560.0)])
    found = solve_pairs(net, every_pair(net), DIODE)
    assert found.volts == pytest.approx([0.56, 0.56], rel=1e-9)


def test_a_diode_in_a_low_loop_reads_short_both_ways() -> None:
    """50 ohm and 10 ohm around a diode (common practice, no source)."""
    net = circuit(
        (junction(0.6, 0.06, 5e-9), "A K"), (resistor(50), "A M"), (resistor(10), "M K")
    )
    found = solve_pairs(net, every_pair(net)[:1], DIODE)
    assert found.volts[0] < 0.061
    assert solve_pairs(net, pair(net, "K", "A"), DIODE).volts[0] < 0.061


def test_back_to_back_zeners_are_held_by_their_leaks_only() -> None:
    zener = junction(0.7, 0.07, 1e-8, 15.0)
    net = circuit((zener, "M A"), (zener, "M B"))
    found = solve_pairs(net, every_pair(net), DIODE)
    assert found.converged.all()
    assert not found.open.any()
    one, other = (solve_pairs(net, pair(net, *way), DIODE) for way in ("AB", "BA"))
    assert one.volts == pytest.approx(other.volts)
    assert 3.15 < one.volts[0] < 3.25


def test_nets_without_any_path_are_open() -> None:
    net = circuit((resistor(1e3), "A B"), (junction(0.6, 0.06), "C D"))
    found = solve_pairs(net, pair(net, "A", "D"), DIODE)
    assert found.open.all()
    assert found.volts == pytest.approx([3.2])
    assert found.amps == pytest.approx([0.0])


def test_the_same_net_reads_nothing() -> None:
    net = circuit((resistor(1e3), "A B"), (junction(0.6, 0.06), "A B"))
    found = solve_pairs(net, pair(net, "A", "A"), DIODE)
    assert found.volts == pytest.approx([0.0])
    assert found.amps == pytest.approx([1e-3])


def test_no_pairs_are_no_readings() -> None:
    net = resistors([("A", "B", 560.0)])
    assert solve_pairs(net, np.empty((0, 2), np.intp), DIODE).volts.shape == (0,)


@given(seeds)
def test_ohms_of_resistors_are_the_resistances(seed: int) -> None:
    placed, nets = section(Random(seed), 12, semiconductors=0.0)
    net = compile_placed(placed, nets)
    found = solve_pairs(net, every_pair(net), OHMS[6e4])
    expected = resistances(net)[tuple(every_pair(net).T)]
    assert (found.open == np.isinf(expected)).all()
    shown = found.volts[~found.open] / found.amps[~found.open]
    assert shown == pytest.approx(expected[~found.open], rel=1e-6)


@settings(max_examples=30)
@given(seeds, st.sampled_from([DIODE, NEEDLE, *OHMS.values()]))
def test_every_reading_converges_and_agrees_with_a_dense_solve(
    seed: int, drive: Drive
) -> None:
    random = Random(seed)
    placed, nets = section(random, 14, semiconductors=random.uniform(0.1, 0.6))
    net = compile_placed(placed, nets)
    pairs = np.array([random.sample(range(net.size), 2) for _ in range(12)])
    found = solve_pairs(net, pairs, drive)
    assert found.converged.all()
    assert trusted(found.residual, drive).all()
    dense, _ = solve_items(net, pairs, drive)
    both = dense.converged
    # what a leak of 1e-12 S alone holds is good to 1e-7 V in the dense solve
    assert found.volts[both] == pytest.approx(dense.volts[both], abs=2e-7)
    assert (found.open == dense.open).all()


@settings(max_examples=15)
@given(seeds)
def test_an_independent_solver_finds_the_same(seed: int) -> None:
    """scipy.optimize.root on nodal equations; floating junction-only nets included."""
    random = Random(seed)
    placed, nets = section(random, 7, semiconductors=0.5)
    net = compile_placed(placed, nets)
    pairs = np.array([random.sample(range(net.size), 2) for _ in range(3)])
    found = solve_pairs(net, pairs, OHMS[600.0])
    for (red, black), volts, is_open in zip(
        pairs, found.volts, found.open, strict=True
    ):
        other = None if is_open else _by_root(net, red, black, OHMS[600.0], volts)
        if other is not None:
            assert volts == pytest.approx(other, abs=1e-6)


def _by_root(
    net: Circuit, red: int, black: int, drive: Drive, hint: float
) -> float | None:
    """Return the reading as a general root finder has it, or None if it finds none."""
    free = [node for node in range(net.size) if node != black]
    start = np.zeros(len(free))
    start[free.index(red)] = hint + 0.01

    def excess(volts: Floats) -> Floats:
        nodes = np.zeros(net.size)
        nodes[free] = volts
        return _leaving(net, nodes, red, black, drive)[free] * 1e6

    answer = root(excess, start, method="lm", options={"xtol": 1e-14, "maxiter": 20000})
    good = np.abs(answer.fun).max() < 1e-6
    return float(answer.x[free.index(red)]) if good else None


def _leaving(net: Circuit, nodes: Floats, red: int, black: int, drive: Drive) -> Floats:
    """Return the current that leaves every node; nets apart are tied by 1e-15 S."""
    total = 1e-15 * nodes
    a, b = net.ends["Conductor"].T
    amps = (nodes[a] - nodes[b]) / net.column("Conductor.ohms")
    ports = net.ports
    through = law(net, net.values, nodes[ports[:, 0]] - nodes[ports[:, 1]]).amps
    for ends, flow in ((np.stack([a, b], 1), amps), (ports, through)):
        np.add.at(total, ends[:, 0], flow)
        np.add.at(total, ends[:, 1], -flow)
    given_out = drive.current(np.array(nodes[red] - nodes[black]))[0]
    total[red] -= given_out
    total[black] += given_out
    return total


@given(seeds)
def test_what_enters_a_group_of_nets_leaves_it(seed: int) -> None:
    """Kirchhoff's law for nets joined by conductors, from the ports' voltages alone."""
    random = Random(seed)
    placed, nets = section(random, 10, semiconductors=0.4)
    net = compile_placed(placed, nets)
    pairs = np.array([random.sample(range(net.size), 2) for _ in range(8)])
    found = solve_pairs(net, pairs, DIODE)
    amps = law(net, net.values, found.ports).amps
    group = np.array(islands(net.size, net.ends["Conductor"]))
    kept = np.eye(net.size)[group]
    left = amps @ (kept[net.ports[:, 0]] - kept[net.ports[:, 1]])
    left -= found.amps[:, None] * (kept[pairs[:, 0]] - kept[pairs[:, 1]])
    assert (np.abs(left).max(axis=1) <= found.residual + 1e-13).all()
    assert (np.abs(amps).max(initial=0.0, axis=1) <= 1.01e-3).all()


@given(seeds)
def test_slopes_are_what_a_small_step_changes(seed: int) -> None:
    """Central differences of the ports' laws, every device at any voltage."""
    random = Random(seed)
    net = compile_placed(*section(random, 8, semiconductors=0.8))
    volts = np.array([random.uniform(-1.0, 0.7) for _ in net.ports])
    places, step = pattern(net), 1e-5
    slopes = law(net, net.values, volts).slopes
    steps = step * np.eye(len(volts))
    change = law(net, net.values, volts + steps).amps
    change = change - law(net, net.values, volts - steps).amps
    expected = (change / (2 * step)).T[places.rows, places.columns]
    assert slopes == pytest.approx(expected, rel=1e-4, abs=1e-9)
