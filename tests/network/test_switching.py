"""Sections in time: against exact answers, and against scipy's Radau written out."""

from functools import cache
from math import exp, log
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.network.written_out import CHOPPER, Chopper, Treadmill
from tracegraph.asking.sources import source_of
from tracegraph.network.circuit import Floats, compile_stage
from tracegraph.network.pulse import Pulse, corners
from tracegraph.network.switching import Course, Driven, at_rest, driven, follow
from tracegraph.notation.source import from_text
from tracegraph.stage.kinds.gate_charge import gate_charge
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state
from tracegraph.waves.measures import measures
from tracegraph.waves.result import Measures

TREADMILL = Path("examples/treadmill-gate-drive.trace")
WITHIN = 0.02  # as the checks ask
PERIODS = 2


def section(text: str) -> Stage:
    return read(from_text("text", f"{text}\nstate low PWM=low\n"))


def followed(
    stage: Stage, state: str, pulse: Pulse, periods: float
) -> tuple[Course, Driven]:
    circuit = compile_stage(in_state(stage, state), state)
    net = stage.inputs[0].net
    own = driven(circuit, {f"input {net}": pulse})
    return follow(own, at_rest(own), periods * pulse.period)[0], own


def volts(own: Driven, course: Course, net: str, ground: str = "COM") -> Floats:
    nodes = course.unknowns @ own.section.system.tree.potentials.T
    places = own.circuit.nodes
    return np.asarray(nodes[:, places[net]] - nodes[:, places[ground]])


RC = """
ground COM
input PWM 0V / 10V via 1k 1kHz 50%
C1 100n PWM -- COM esr=0.001R
"""


def test_a_capacitor_rises_in_2_197_rc() -> None:
    """10 to 90 % of an exponential take ln 9 times RC (any gate-drive application note)."""
    pulse = Pulse(0.0, 10.0, 1e-4, 1e-2, 2e-2, 1e-8)
    course, own = followed(section(RC), "low", pulse, 0.5)
    out = volts(own, course, "PWM")
    t10, t90 = np.interp([1.0, 9.0], out, course.times)
    assert t90 - t10 == pytest.approx(log(9) * 1e-4, rel=5e-3)
    at = 1e-4 + 2.5e-4
    assert np.interp(at, course.times, out) == pytest.approx(
        10 * (1 - exp(-2.5)), rel=2e-3
    )


def test_a_coils_current_rises_by_its_own_winding() -> None:
    """I = V / R (1 - exp(-t R / L)): the winding's 5 ohm stand in series with 1 mH."""
    text = "ground COM\ninput PWM 0V / 10V via 5R 1kHz 50%\nL1 1m rdc=5R PWM -- COM\n"
    pulse = Pulse(0.0, 10.0, 1e-5, 5e-4, 1e-3, 1e-8)
    course, _ = followed(section(text), "low", pulse, 0.2)
    at = 1e-5 + 1.5e-4
    found = np.interp(at, course.times, course.amps[:, 0])
    assert found == pytest.approx(1 - exp(-1.5), rel=2e-3)


def test_a_gate_takes_in_the_data_sheets_charge() -> None:
    """A milliampere lifts the gate to 10 V in Qg / I, 40 us: the data sheet's own test.

    1 Mohm from 1 kV is the milliampere; the drain comes down from 80 % of the rating.
    """
    text = """
    ground COM
    rail BUS 80V
    input PWM 0V / 1000V via 1M 1kHz 50%
    Q1 nfet g=PWM d=SW s=COM vgsth=3V ciss=1n5 crss=40p qg=40n rating 100V 30A
    R1 load 100R BUS -- SW
    """
    pulse = Pulse(0.0, 1000.0, 1e-6, 5e-4, 1e-3, 1e-8)
    course, own = followed(section(text), "low", pulse, 0.05)
    arrived = np.interp(10.0, volts(own, course, "PWM"), course.times)
    assert arrived - 1e-6 == pytest.approx(40e-6, rel=0.02)


def radau(
    board: Treadmill | Chopper, pulse: Pulse, gate: int
) -> tuple[Floats, Floats, Floats]:
    """Return times, gate volts, and drain volts, corner by corner."""
    begin, state = 0.0, board.rest()
    times, states = [np.zeros(1)], [state[:, None]]
    for corner in corners({"": pulse}, 0.0, PERIODS * pulse.period):
        run = solve_ivp(
            board.rates,
            (begin, corner),
            state,
            method="Radau",
            rtol=1e-4,
            atol=1e-4,
            first_step=min(1e-11, corner - begin),
        )
        assert run.success
        times.append(run.t[1:])
        states.append(run.y[:, 1:])
        begin, state = corner, run.y[:, -1]
    whole = np.concatenate(states, axis=1)
    return np.concatenate(times), whole[gate], whole[gate + 1]


def charge_in(own: Driven, course: Course, net: str) -> float:
    """Return the charge that the capacitances at a net take in on the first rise."""
    ends, node = own.circuit.ends["Store"], own.circuit.nodes[net]
    sign = (ends[:, 0] == node).astype(float) - (ends[:, 1] == node)
    held = course.charge @ sign
    return float(held.max() - held.min())


@cache
def treadmill() -> tuple[Course, Driven, Pulse]:
    pulse = Pulse(0.0, 5.0, 0.1 / 8e3, 0.6 / 8e3, 1 / 8e3, 20e-9)
    return (*followed(read(source_of(TREADMILL)), "stop", pulse, PERIODS), pulse)


@cache
def chopper() -> tuple[Course, Driven, Pulse]:
    pulse = Pulse(0.0, 5.0, 1e-6, 4e-6, 10e-6, 20e-9)
    return (*followed(section(CHOPPER), "low", pulse, PERIODS), pulse)


def agree(ours: Measures, theirs: Measures) -> None:
    assert ours.amplitude == pytest.approx(theirs.amplitude, rel=WITHIN)
    assert ours.rise == pytest.approx(theirs.rise, rel=WITHIN)
    assert ours.fall == pytest.approx(theirs.fall, rel=WITHIN)
    assert ours.width == pytest.approx(theirs.width, rel=WITHIN)


def test_the_treadmills_gate_agrees_with_radau() -> None:
    """Amplitude, edges and charge; the section written out anew (`written_out`)."""
    course, own, pulse = treadmill()
    board = Treadmill(pulse)
    times, gate, drain = radau(board, pulse, 5)
    agree(measures(course.times, volts(own, course, "GATE")), measures(times, gate))
    under = drain - gate
    far = (
        2
        * board.full
        * board.bend
        * (np.sqrt(1 + np.maximum(under, 0) / board.bend) - 1)
    )
    held = 2.56e-9 * gate - np.where(under > 0, far, board.full * under)
    assert charge_in(own, course, "GATE") == pytest.approx(np.ptp(held), rel=WITHIN)


def test_a_chopper_with_a_coil_agrees_with_radau() -> None:
    """A driver chip into a gate, the plateau under a coil's current, a diode catching."""
    course, own, pulse = chopper()
    part = section(CHOPPER).part("Q1")
    assert part
    board = Chopper(pulse, gate_charge(part).full_farads)
    times, gate, drain = radau(board, pulse, 0)
    agree(measures(course.times, volts(own, course, "GATE")), measures(times, gate))
    mine = measures(course.times, volts(own, course, "SW"))
    other = measures(times, drain)
    agree(mine, other)
    assert mine.high == pytest.approx(other.high, rel=WITHIN)


def test_what_a_gate_takes_in_comes_out_again() -> None:
    """Charge balance: over a settled cycle every capacitance ends as it began."""
    course, own, pulse = treadmill()
    rows = np.searchsorted(course.times, np.array([0.9, 1.9]) * pulse.period)
    flow = course.flow[rows[0] : rows[1] + 1]
    times = course.times[rows[0] : rows[1] + 1]
    moved = ((flow[1:] + flow[:-1]) / 2 * np.diff(times)[:, None]).sum(axis=0)
    held = course.charge[rows[1]] - course.charge[rows[0]]
    ends, node = own.circuit.ends["Store"], own.circuit.nodes["GATE"]
    sign = (ends[:, 0] == node).astype(float) - (ends[:, 1] == node)
    swing = charge_in(own, course, "GATE")
    assert abs(held @ sign) < 0.01 * swing
    assert abs(moved @ sign - held @ sign) < 0.01 * swing


def test_pulses_of_any_width_are_periodic() -> None:
    pulse = Pulse(0.2, 3.3, 1e-6, 7e-6, 10e-6, 1e-7)
    times = np.linspace(0, 3e-5, 997)
    for time in times.tolist():
        assert pulse.at(time) == pytest.approx(pulse.at(time + 1e-5), abs=1e-6)
    found = corners({"": pulse}, 0.0, 2e-5)
    assert found == pytest.approx(
        [1e-6, 1.1e-6, 8e-6, 8.1e-6, 11e-6, 11.1e-6, 18e-6, 18.1e-6, 2e-5]
    )
