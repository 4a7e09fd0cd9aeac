"""Every usual stage of the library reads without a doubt, and works when powered."""

import re

import pytest

from tracegraph.compare.library import Pattern, find_pattern, patterns
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.profile_file import find_meter
from tracegraph.network.circuit import compile_stage
from tracegraph.network.dense import powered
from tracegraph.stage.reading import Mode
from tracegraph.stage.state import in_state

LEVEL = re.compile(
    r"^# level (\S+)\s+(\S+)\s+(\S+)\s+(-?[\d.]+)V\s+([\d.]+)V(?!\S)", re.MULTILINE
)
NAMES = (
    "brake-chopper",
    "bus-divider-trip",
    "crowbar",
    "flyback-primary",
    "gate-buffer",
    "gate-drive-chip",
    "gate-drive-helper",
    "half-bridge-bootstrap",
    "high-side-switch",
    "igbt-driver-opto",
    "linear-regulator-supply",
    "mains-input",
    "ntc-input",
    "relay-driver",
    "secondary-feedback",
    "shunt-trip",
    "solenoid-driver",
    "zener-series-supply",
    "zero-cross",
)
# Stages that hang on the mains or on a bus: their files say so.
LIVE = {
    *("brake-chopper", "bus-divider-trip", "flyback-primary", "gate-buffer"),
    *("gate-drive-chip", "gate-drive-helper", "half-bridge-bootstrap"),
    *("igbt-driver-opto", "linear-regulator-supply", "mains-input", "relay-driver"),
    "zero-cross",
}


def pattern_of(name: str) -> Pattern:
    found = find_pattern(name)
    assert found
    return found


def text_of(one: Pattern) -> str:
    assert one.stage.source
    return one.stage.source.text


STATES = [
    (one.name, state)
    for one in patterns()
    for state in dict.fromkeys(row[0] for row in LEVEL.findall(text_of(one)))
]


def test_the_library_has_the_trades_common_stages() -> None:
    assert tuple(one.name for one in patterns()) == NAMES
    assert len({one.title for one in patterns()}) == len(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_usual_stage_reads_without_a_doubt_and_says_what_it_is(name: str) -> None:
    found = pattern_of(name)
    assert found.stage.problems == ()
    assert found.title
    assert len(found.stage.parts) >= 6
    assert all(part.fitted and not part.untraced for part in found.stage.parts)


@pytest.mark.parametrize("name", NAMES)
def test_every_state_of_a_usual_stage_has_levels(name: str) -> None:
    found = pattern_of(name)
    told = {row[0] for row in LEVEL.findall(text_of(found))}
    assert told
    assert {state.name for state in found.stage.states} == told


@pytest.mark.parametrize("name", sorted(LIVE))
def test_what_hangs_on_mains_or_bus_says_so(name: str) -> None:
    head = text_of(pattern_of(name)).split("\nstage ")[0]
    assert "CAUTION:" in head


@pytest.mark.parametrize(("name", "state"), STATES)
def test_a_usual_stage_works_when_powered(name: str, state: str) -> None:
    stage = pattern_of(name).stage
    circuit = compile_stage(in_state(stage, state), state)
    volts, _, converged = powered(circuit)
    assert converged.all()
    rows = [row for row in LEVEL.findall(text_of(pattern_of(name))) if row[0] == state]
    for _, red, black, typical, within in rows:
        level = volts[0, circuit.node(red)] - volts[0, circuit.node(black)]
        assert level == pytest.approx(float(typical), abs=float(within)), red


@pytest.mark.parametrize(
    ("name", "red", "black", "low", "high"),
    # Rows of the trade: pull-down, coil, divider's lower half, balanced bus; common
    # practice, no source.
    [
        ("gate-drive-chip", "GATE", "COM", 9.4e3, 10.3e3),
        ("relay-driver", "P12", "COIL", 240.0, 300.0),
        ("bus-divider-trip", "TAP", "COM", 9.6e3, 10.2e3),
        ("shunt-trip", "LOAD", "COM", 0.0, 0.5),
    ],
)
def test_a_usual_stage_reads_cold_as_the_trade_knows_it(
    name: str, red: str, black: str, low: float, high: float
) -> None:
    stage = pattern_of(name).stage
    (one,) = expect(stage, [Probe(red, black, Mode.OHMS)], find_meter("handheld"))
    assert one.typical is not None
    assert low <= one.typical <= high
