"""Capacitors under the meter, against formulas and an independent stiff solver."""

from collections.abc import Sequence
from math import exp, inf, log
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from tests.network.circuits import circuit, every_pair, pair
from tests.sections import drop_at, junction, resistor, section
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_placed
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.network.slow import slow
from tracegraph.network.transient import charge
from tracegraph.quantity import exact
from tracegraph.stage.branch import Store, Transistor

DIODE = Drive(1e-3, np.inf, 3.2)
OHMS = Drive(0.4 / 12e3, 12e3, 0.4)
CLOSE = 5e-3  # of the display


def settling(net: Circuit, pairs: Ints, drive: Drive) -> Floats:
    """Return the seconds after which readings stay within a hundredth, by running them."""
    times = np.logspace(-3, 3, 61)
    run = charge(net, pairs, drive, tuple(times))
    rest, _ = solve_items(net, pairs, drive)
    moves = _far(run.volts, rest.volts, 1e-3 * abs(drive.volts))
    moves |= _far(run.amps, rest.amps, 0.05 * abs(drive.amps))
    last = np.where(moves, np.arange(len(times)), -1).max(axis=1)
    return np.asarray(np.append(times, np.inf)[last + 1])


def _far(seen: Floats, rest: Floats, least: float) -> NDArray[np.bool_]:
    size = np.maximum(np.abs(rest), least)[:, None]
    return ~(np.abs(seen - rest[:, None]) <= 0.01 * size)


def store(farads: float, series_ohms: float = 0.0) -> Store:
    """Return a capacitor."""
    return Store("+", "-", exact(farads, "F"), series_ohms)


def ohms(net: Circuit, drive: Drive, times: Sequence[float]) -> Floats:
    """Return what an ohmmeter on A and B shows at these times."""
    run = charge(net, pair(net, "A", "B"), drive, times)
    return np.asarray(run.volts[0] / run.amps[0])


@pytest.mark.parametrize(
    ("farads", "a_second"), [(1e-6, 1e6), (47e-6, 21e3), (470e-6, 2.1e3), (2.2e-3, 455)]
)
def test_ohms_climb_at_one_over_the_capacitance(farads: float, a_second: float) -> None:
    """Common practice, no source: 47 uF climbs by 21 kohm a second, 470 uF by 2.1."""
    steady = Drive(1e-6, inf, 10.0)
    shown = ohms(circuit((store(farads), "A B")), steady, (1.0, 3.0))
    assert shown == pytest.approx([a_second, 3 * a_second], rel=0.02)
    assert shown == pytest.approx([1 / farads, 3 / farads], rel=CLOSE)


@pytest.mark.parametrize("farads", [1e-6, 47e-6, 470e-6])
def test_behind_a_resistance_the_climb_is_exponential(farads: float) -> None:
    """Kirchhoff: V/I = Rs (exp(t / (Rs C)) - 1)."""
    times = (0.05, 0.3, 1.0)
    true = [12e3 * (exp(time / (12e3 * farads)) - 1) for time in times]
    shown = ohms(circuit((store(farads), "A B")), OHMS, times)
    seen = [k for k, value in enumerate(true) if value < 120e3]  # else OL
    assert shown[seen] == pytest.approx(np.array(true)[seen], rel=CLOSE)


def test_a_bleeder_ends_the_climb() -> None:
    """Constant current: R (1 - exp(-t / (R C)))."""
    net = circuit((store(47e-6), "A B"), (resistor(10e3), "A B"))
    times = (0.1, 0.5, 1.0, 3.0)
    true = [10e3 * (1 - exp(-time / 0.47)) for time in times]
    shown = ohms(net, Drive(10e-6, inf, 5.0), times)
    assert shown == pytest.approx(true, rel=CLOSE)
    late = 0.47 * log(100)  # a hundredth is left
    (nearly,) = ohms(net, Drive(10e-6, inf, 5.0), (late,))
    assert nearly == pytest.approx(9.9e3, rel=CLOSE)


def test_a_series_resistance_shows_at_once() -> None:
    net = circuit((store(470e-6, 22.0), "A B"))
    shown = ohms(net, Drive(1e-4, inf, 3.0), (0.01, 1.0))
    assert shown == pytest.approx([22 + 0.01 / 470e-6, 22 + 1 / 470e-6], rel=CLOSE)


def test_a_charged_capacitor_reads_as_it_was_left() -> None:
    """Common practice, no source: the display is V0/I + t/C."""
    net = circuit((store(470e-6), "A B"))
    begin = np.zeros((1, net.size))
    begin[0, net.nodes["A"]] = -0.1
    run = charge(net, pair(net, "A", "B"), Drive(1e-5, inf, 3.0), (1.0,), begin=begin)
    assert run.volts[0, 0] / 1e-5 == pytest.approx(-10e3 + 1 / 470e-6, rel=CLOSE)


def radau(times: Sequence[float]) -> Floats:
    """Return A of: 12 k from 3 V into A; diode A to B; 1 uF on A, 10 uF and 47 k on B.

    Written out by hand, without any of the solver's own code.
    """

    def rates(_time: float, volts: Floats) -> list[float]:
        a, b = volts
        through = 1e-3 * (10 ** ((a - b - 0.6) / 0.08) - 10 ** (-0.6 / 0.08))
        through += 1e-12 * (a - b)
        return [((3 - a) / 12e3 - through) / 1e-6, (through - b / 47e3) / 10e-6]

    found = solve_ivp(
        rates, (0, max(times)), [0, 0], "Radau", times, rtol=1e-8, atol=1e-10
    )
    return np.asarray(found.y[0])


def test_a_capacitor_behind_a_diode_against_an_independent_solver() -> None:
    net = circuit(
        (store(1e-6), "A COM"),
        (junction(0.6, 0.08), "A B"),
        (store(10e-6), "B COM"),
        (resistor(47e3), "B COM"),
    )
    times = (0.003, 0.01, 0.03, 0.1, 0.3, 1.0)
    drive = Drive(3 / 12e3, 12e3, 3.0)
    run = charge(net, pair(net, "A", "COM"), drive, times)
    assert run.volts[0] == pytest.approx(radau(times), rel=CLOSE)
    assert run.residual[0] < 1e-9


def helper(*rail: tuple[Store, str]) -> Circuit:
    """Return the gate stage of a drive with a PNP turn-off helper."""
    q11 = transistor(1)
    return circuit(
        (resistor(1e3), "PWM B1"),
        (resistor(12e3), "B1 COM"),
        (q11, "B1 N1 COM"),
        (resistor(1e3), "P12 N1"),
        (junction(0.60, 0.06), "N1 DRV"),
        (transistor(-1), "N1 COM DRV"),
        (resistor(47.0), "DRV GATE"),
        (resistor(12e3), "GATE COM"),
        *rail,
    )


def transistor(polarity: int) -> Transistor:
    """Return a transistor of 0.66 V at 1 mA with a gain of 200."""
    return Transistor(
        "b",
        "c",
        "e",
        polarity,
        drop_at(0.66, 1e-3),
        exact(0.06, "V/dec"),
        exact(200.0, ""),
        exact(4.0, ""),
        exact(0.0, "A"),
        drop_at(6.0, 1e-3),
    )


@pytest.mark.parametrize(("farads", "past_two_volts"), [(10e-6, 2.8), (470e-6, 130.0)])
def test_the_helpers_base_current_fills_the_rail(
    farads: float, past_two_volts: float
) -> None:
    """0.67 V at first, past 2 V after C x 1.4 V / 5 uA: seconds to minutes.

    By hand with a base current of 1 mA / 201 that stays so; within 15 % here, where
    the growing current of the gate's own resistor takes its share.
    """
    net = helper((store(farads), "P12 COM"))
    pairs = pair(net, "DRV", "COM")
    times = np.linspace(past_two_volts / 20, past_two_volts * 1.5, 30)
    volts = charge(net, pairs, DIODE, (1e-3, *times)).volts[0]
    assert volts[0] == pytest.approx(0.67, abs=0.02)
    assert np.interp(2.0, volts[1:], times) == pytest.approx(past_two_volts, rel=0.15)
    assert slow(net, pairs, DIODE)[0]
    assert solve_items(net, pairs, DIODE)[0].volts[0] > 3.0


def test_small_capacitors_need_no_run() -> None:
    net = circuit(
        (store(2.2e-9), "GATE COM"),
        (resistor(10e3), "GATE COM"),
        (junction(0.6, 0.06), "GATE OUT"),
        (store(1e-9), "OUT COM"),
    )
    pairs = np.concatenate([pair(net, "GATE", "COM"), pair(net, "OUT", "GATE")])
    assert not slow(net, pairs, DIODE).any()
    rest, _ = solve_items(net, pairs, DIODE)
    soon = charge(net, pairs, DIODE, (0.1,)).volts[:, 0]
    assert soon == pytest.approx(rest.volts, rel=0.01)


@pytest.mark.parametrize("farads", [1e-9, 1e-7, 1e-5])
@pytest.mark.parametrize("bleeder", [1e3, 10e6])
@pytest.mark.parametrize("drive", [DIODE, OHMS, Drive(0.4 / 1e6, 1e6, 0.4)])
def test_whatever_moves_after_a_tenth_of_a_second_is_called_slow(
    farads: float, bleeder: float, drive: Drive
) -> None:
    net = circuit(
        (transistor(1), "B A COM"),
        (resistor(10e3), "B A"),
        (store(farads), "B COM"),
        (resistor(bleeder), "A COM"),
        (junction(0.6, 0.06), "A C"),
        (store(farads), "C COM"),
    )
    pairs = np.concatenate([pair(net, "A", "COM"), pair(net, "C", "COM")])
    quiet = ~slow(net, pairs, drive)
    assert (settling(net, pairs, drive)[quiet] <= 0.1).all()


@pytest.mark.parametrize("drive", [DIODE, OHMS])
@given(st.integers(0, 10**9))
@settings(max_examples=12)
def test_a_reading_not_called_slow_is_at_rest_early(drive: Drive, seed: int) -> None:
    random = Random(seed)
    net = compile_placed(*section(random, 8, semiconductors=0.3))
    pairs = every_pair(net)[:: random.choice([3, 5])]
    pairs = pairs[~slow(net, pairs, drive)]
    run = charge(net, pairs, drive, (0.15, 1.0, 3.0))
    rest, _ = solve_items(net, pairs, drive)
    off = np.abs(run.volts - rest.volts[:, None])
    assert (off <= 0.01 * np.abs(rest.volts[:, None]) + 2e-3 * drive.volts).all()


def test_a_run_without_capacitors_is_the_reading() -> None:
    net = circuit((resistor(1e3), "A B"))
    run = charge(net, pair(net, "A", "B"), DIODE, (1.0,))
    assert run.volts[0, 0] == pytest.approx(1.0)
    assert settling(net, pair(net, "A", "B"), DIODE)[0] == 1e-3


def test_no_path_is_open_at_any_time() -> None:
    net = circuit((resistor(1e3), "A B"), (store(1e-6), "C B"), (resistor(1.0), "D E"))
    run = charge(net, pair(net, "A", "D"), OHMS, (1.0,))
    assert run.volts[0, 0] == 0.4
    assert run.amps[0, 0] == 0.0
