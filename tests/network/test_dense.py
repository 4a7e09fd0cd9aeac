"""Cold readings of single variants against formulas, exact arithmetic and scipy."""

from fractions import Fraction
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, root
from scipy.special import lambertw

from tests.network.circuits import circuit, every_pair, pair, resistors
from tests.sections import drop_at, junction, resistor, section
from tracegraph.network import dense, detours, newton
from tracegraph.network.circuit import Circuit, Floats, compile_placed
from tracegraph.network.dense import solve_items
from tracegraph.network.device import BLOCKED
from tracegraph.network.drive import Drive, trusted
from tracegraph.quantity import exact
from tracegraph.stage.branch import Branch, Source, Transistor

DIODE = Drive(1e-3, np.inf, 3.2)
OHMS = Drive(0.4 / 12e3, 12e3, 0.4)
HIGH_OHMS = Drive(0.4 / 20e6, 20e6, 0.4)
BRIGHT = Drive(3.0 / 1e3, 1e3, 3.0)
VOLTMETER = Drive(0.0, 10e6, 0.0)
seeds = st.integers(0, 10**9)


def transistor(polarity: int = 1, drop: float = 0.66) -> Transistor:
    """Return a transistor of 60 mV a decade, its drop at 1 mA, with a gain of 200."""
    slope, gain = exact(0.06, "V/dec"), exact(200.0, "")
    names = ("b", "c", "e", polarity)
    zener = drop_at(6.0, 1e-3)
    drops = drop_at(drop, 1e-3)
    return Transistor(*names, drops, slope, gain, exact(4.0, ""), exact(0, "A"), zener)


def volts(net: Circuit, red: str, black: str, drive: Drive = DIODE) -> float:
    """Return one reading in volts; it must be trusted."""
    found, nodes = solve_items(net, pair(net, red, black), drive)
    assert found.converged[0]
    assert trusted(found.residual, drive)[0]
    across = nodes[0, net.nodes[red]] - nodes[0, net.nodes[black]]
    assert across == pytest.approx(found.volts[0])
    return float(found.volts[0])


@pytest.mark.parametrize(
    ("ohms", "shown"),
    [(100, 0.10), (330, 0.33), (560, 0.53), (1e3, 0.58), (1e4, 0.598)],
)
def test_a_resistor_across_a_junction(ohms: float, shown: float) -> None:
    """Common practice, no source: 0.60 V at 1 mA, 60 mV a decade."""
    net = circuit((junction(0.6, 0.06), "A K"), (resistor(ohms), "A K"))
    assert volts(net, "A", "K") == pytest.approx(shown, abs=5e-3)
    assert volts(net, "K", "A") == pytest.approx(min(ohms * 1e-3, 3.2), abs=5e-3)


@pytest.mark.parametrize(
    ("supply", "ohms"), [(5, 1e3), (0.4, 12e3), (12, 10), (1, 1e6)]
)
def test_a_diode_behind_a_resistor_against_lamberts_w(
    supply: float, ohms: float
) -> None:
    """Banwell & Jayakumar, Electronics Letters 36(4), 2000 (from memory)."""
    fold = 0.1 / np.log(10)
    start = 1e-3 * 10 ** (-0.7 / 0.1)
    inner = start * ohms / fold * np.exp((supply + start * ohms) / fold)
    told = fold / ohms * lambertw(inner).real - start
    net = circuit((junction(0.7, 0.1), "A K"))
    found, _ = solve_items(net, pair(net, "A", "K"), Drive(supply / ohms, ohms, supply))
    assert found.amps[0] == pytest.approx(told, rel=1e-6)


def test_a_voltmeter_loads_a_chain_of_megohms() -> None:
    """Common practice, no source: 3 x 1M + 10k from 400 V under 10 Mohm."""
    net = circuit(
        (Source("+", "-", exact(400.0, "V"), exact(0.1, "ohm")), "BUS COM"),
        (resistor(1e6), "BUS M1"),
        (resistor(1e6), "M1 M2"),
        (resistor(1e6), "M2 TAP"),
        (resistor(10e3), "TAP COM"),
    )
    nets = ("M1", "M2", "TAP")
    shown = [volts(net, name, "COM", VOLTMETER) for name in nets]
    assert shown == pytest.approx([250.4, 125.8, 1.328], rel=5e-4)
    true = [volts(net, name, "COM", Drive(0.0, np.inf, 0.0)) for name in nets]
    assert true == pytest.approx([267.1, 134.2, 1.329], rel=5e-4)


@pytest.mark.parametrize(
    ("base_to_emitter", "shown"), [(None, 0.70), (10e3, 1.35), (2.2e3, 3.2)]
)
def test_an_untraced_path_may_raise_a_reading(
    base_to_emitter: float | None, shown: float
) -> None:
    """Red collector, black emitter, 10 k from collector to base; OL is above 2 V."""
    untraced = [(resistor(base_to_emitter), "B E")] if base_to_emitter else []
    traced = (transistor(drop=0.65), "B C E"), (resistor(10e3), "C B")
    assert volts(circuit(*traced, *untraced), "C", "E") == pytest.approx(
        shown, abs=0.01
    )


@pytest.mark.parametrize(
    ("rest", "shown"),
    [
        ((), 3.2),
        (((resistor(1.8e3), "P12 COM"),), 0.72),
        (((resistor(100e3), "P12 COM"), (junction(0.6, 0.06), "COM P12")), 1.15),
    ],
)
def test_what_hangs_on_the_rail_decides_the_gate(
    rest: tuple[tuple[Branch, str], ...], shown: float
) -> None:
    """A gate stage with a PNP turn-off helper, red on the gate: computed before."""
    net = circuit(
        (resistor(1e3), "PWM B1"),
        (resistor(12e3), "B1 COM"),
        (transistor(), "B1 N1 COM"),
        (resistor(1e3), "P12 N1"),
        (junction(0.60, 0.06), "N1 DRV"),
        (transistor(-1), "N1 COM DRV"),
        (resistor(47.0), "DRV GATE"),
        (resistor(12e3), "GATE COM"),
        *rest,
    )
    assert volts(net, "GATE", "COM") == pytest.approx(shown, abs=5e-3)


def exact_ohms(edges: list[tuple[int, int, Fraction]], a: int, b: int) -> Fraction:
    """Return a resistance by Gauss elimination in fractions, `b` grounded."""
    size = 1 + max(max(edge[:2]) for edge in edges)
    table = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for start, end, ohms in edges:
        for here, there in ((start, end), (end, start)):
            table[here][here] += 1 / ohms
            table[here][there] -= 1 / ohms
    table[a][size] = Fraction(1)
    table[b] = [Fraction(int(k == b)) for k in range(size + 1)]
    for pivot in range(size):
        best = max(range(pivot, size), key=lambda row: abs(table[row][pivot]))
        table[pivot], table[best] = table[best], table[pivot]
        for row in range(size):
            if row != pivot and table[row][pivot]:
                share = table[row][pivot] / table[pivot][pivot]
                table[row] = [
                    x - share * y for x, y in zip(table[row], table[pivot], strict=True)
                ]
    return table[a][size] / table[a][a]


@given(seeds)
@settings(max_examples=20)
def test_a_milliohm_beside_ten_megohms_is_exact(seed: int) -> None:
    """Fractions know no rounding: twelve digits over ten decades of resistance."""
    random = Random(seed)
    decades = (-3, -2, 0, 3, 6, 7)
    edges = [(random.randrange(k), k) for k in range(1, 8)]
    edges += [(random.randrange(k), k) for k in range(3, 8)]
    valued = [(a, b, Fraction(10) ** random.choice(decades)) for a, b in edges]
    net = resistors([(a, b, float(ohms)) for a, b, ohms in valued])
    pairs = every_pair(net)[::7]
    names = {node: int(name) for name, node in net.nodes.items()}
    found, _ = solve_items(net, pairs, OHMS)
    told = [float(exact_ohms(valued, names[a], names[b])) for a, b in pairs.tolist()]
    assert found.volts / found.amps == pytest.approx(told, rel=1e-12)


def test_a_shunt_is_exact_inside_an_island_held_by_leaks() -> None:
    """A milliohm that carries the meter's current, one that a leak alone holds."""
    part = junction(0.6, 0.06)
    net = circuit((part, "M1 A"), (resistor(1e-3), "M1 M2"), (part, "M2 B"))
    told = 0.4 * 1e-3 / 12e3
    assert volts(net, "M1", "M2", OHMS) == pytest.approx(told, rel=1e-12)
    net = circuit(
        (part, "A M1"),
        (resistor(1e-3), "M1 M2"),
        (part, "B M2"),
        (resistor(1e9), "A B"),
    )
    found, nodes = solve_items(net, pair(net, "A", "B"), Drive(1e-9, 1e9, 1.0))

    def excess(middle: float) -> float:
        start, fold = 1e-3 * 10**-10, 0.06 / np.log(10)
        down, back = found.volts[0] - middle, -middle
        exponentials = np.exp(down / fold) + np.exp(back / fold) - 2
        return float(start * exponentials + BLOCKED * (down + back))

    held = brentq(excess, 0.0, found.volts[0], xtol=1e-15)
    assert nodes[0, net.nodes["M1"]] == pytest.approx(held, abs=1e-9)


def currents_by_hand(net: Circuit, nodes: Floats) -> Floats:
    """Return what leaves every node through resistors and junctions, written anew."""
    leaving = np.zeros(net.size)
    for (a, b), ohms in zip(
        net.ends["Conductor"], net.column("Conductor.ohms"), strict=True
    ):
        leaving[[a, b]] += np.array([1, -1]) * (nodes[a] - nodes[b]) / ohms
    table = zip(
        net.ends["Junction"],
        net.column("Junction.drop"),
        net.column("Junction.slope"),
        net.column("Junction.leak"),
        strict=True,
    )
    for (a, b), drop, slope, leak in table:
        across = nodes[a] - nodes[b]
        with np.errstate(over="ignore"):  # the search may try any voltage
            amps = 1e-3 * (10 ** ((across - drop) / slope) - 10 ** (-drop / slope))
        amps += leak * np.tanh(across / 0.1) + BLOCKED * across
        leaving[[a, b]] += np.array([1, -1]) * amps
    return leaving


@given(seeds)
@settings(max_examples=40)
def test_random_junction_networks_against_scipy(seed: int) -> None:
    """Nets that only junctions touch included; scipy starts up to 30 mV off."""
    random = Random(seed)
    size = random.randint(3, 7)
    parts = [
        (
            junction(random.uniform(0.2, 0.7), random.uniform(0.06, 0.12), 1e-7)
            if random.random() < 0.7
            else resistor(10 ** random.uniform(2, 5)),
            f"N{random.randrange(k)} N{k}",
        )
        for k in [*range(1, size), *range(1, size)]
    ]
    net = circuit(*parts)
    supply = Drive(3.0 / 10e3, 10e3, 3.0)
    pairs = every_pair(net)
    red, black = pairs[random.randrange(len(pairs))]
    found, nodes = solve_items(net, np.array([[red, black]]), supply)

    def excess(unknown: Floats) -> Floats:
        every = np.insert(unknown, black, 0.0)
        leaving = currents_by_hand(net, every)
        leaving[red] -= (3.0 - every[red]) / 10e3
        return np.asarray(np.delete(leaving, black) * 1e6)

    here = np.delete(nodes[0], black)
    begin = here + np.array([random.uniform(-0.03, 0.03) for _ in here])
    other = root(excess, begin, tol=1e-12)
    assert np.abs(excess(here)).max() < 1e-3  # nanoamperes of excess
    if other.success:
        assert here == pytest.approx(other.x, abs=1e-6)
    assert found.residual[0] < 1e-9


@pytest.mark.parametrize("drive", [DIODE, OHMS, HIGH_OHMS, BRIGHT])
@given(seeds)
@settings(max_examples=15)
def test_every_random_section_comes_to_a_trusted_rest(drive: Drive, seed: int) -> None:
    random = Random(seed)
    net = compile_placed(*section(random, random.randint(4, 14), semiconductors=0.5))
    found, nodes = solve_items(net, every_pair(net), drive)
    assert found.converged.all()
    assert trusted(found.residual, drive).all()
    assert np.isfinite(nodes).all()


def test_open_by_topology_shows_the_meters_own_volts() -> None:
    net = circuit((resistor(1e3), "A B"), (junction(0.6, 0.06), "C D"))
    found, nodes = solve_items(net, pair(net, "A", "C"), DIODE)
    assert found.open[0]
    assert found.converged[0]
    assert (found.volts[0], found.amps[0]) == (3.2, 0.0)
    assert nodes[0, net.nodes["A"]] - nodes[0, net.nodes["C"]] == 3.2


def test_a_batch_of_boards_is_as_good_as_board_by_board() -> None:
    net = compile_placed(*section(Random(3), 8))
    pairs = every_pair(net)[:6]
    values = net.values * np.linspace(0.9, 1.1, 6)[:, None]
    together, nodes = solve_items(net, pairs, BRIGHT, values)
    for row in range(6):
        alone, _ = solve_items(net, pairs[[row]], BRIGHT, values[row])
        assert together.volts[row] == pytest.approx(alone.volts[0], abs=1e-8)
    again, _ = solve_items(net, pairs, BRIGHT, values, nodes)
    assert again.volts == pytest.approx(together.volts, abs=1e-8)


def test_small_portions_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    net = compile_placed(*section(Random(5), 8))
    pairs = every_pair(net)
    whole, nodes = solve_items(net, pairs, DIODE)
    monkeypatch.setattr(dense, "ENTRIES", 300)
    parts, other = solve_items(net, pairs, DIODE)
    assert parts.volts == pytest.approx(whole.volts, abs=1e-9)
    assert other == pytest.approx(nodes, abs=1e-6)


def test_what_does_not_come_to_rest_is_no_number(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(newton, "trusted", lambda residual, _: residual < 0)
    monkeypatch.setattr(detours, "PATIENCE", 2)
    net = circuit((junction(0.6, 0.06), "A K"))
    found, nodes = solve_items(net, pair(net, "A", "K"), DIODE)
    assert not found.converged[0]
    assert np.isnan([found.volts[0], found.amps[0], found.ports[0, 0]]).all()
    assert np.isnan(nodes).all()


def test_a_reading_of_nothing_is_nothing() -> None:
    net = circuit((resistor(1e3), "A B"))
    found, nodes = solve_items(net, np.zeros((0, 2), np.intp), DIODE)
    assert found.volts.shape == (0,)
    assert nodes.shape == (0, net.size)
