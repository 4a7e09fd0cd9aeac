"""Every example reads as it is meant, and says how to use it safely."""

import re
from functools import cache
from pathlib import Path

import pytest

from tracegraph.diagnostics import Severity
from tracegraph.marking import parse_value
from tracegraph.notation.source import from_bytes
from tracegraph.stage.read import read
from tracegraph.stage.reading import Block
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[1] / "examples"
FILES = sorted(path.name for path in EXAMPLES.glob("*.trace"))
# What `check` is meant to ask about, by file: nothing else may be doubted.
INTENDED: dict[str, set[str]] = {}
PARTS = {
    "treadmill-gate-drive.trace": 15,
    "dryer-relay-driver.trace": 21,
    "welder-igbt-driver.trace": 16,
    "solar-pump-half-bridge.trace": 27,
    "charger-flyback-primary.trace": 29,
    "press-bus-trip.trace": 51,
    "airconditioner-boost-stage.trace": 38,
}
LEVEL = re.compile(r"# level (\S+)\s+(\S+)\s+(\S+)\s+(-?[\d.]+V)\s+([\d.]+V)(?:\s|$)")


def text_of(name: str) -> str:
    return (EXAMPLES / name).read_text("utf-8")


@cache
def stage_of(name: str) -> Stage:
    return read(from_bytes(name, (EXAMPLES / name).read_bytes()))


def test_all_are_there() -> None:
    assert set(FILES) == set(PARTS)


@pytest.mark.parametrize("name", FILES)
def test_an_example_reads_without_an_error(name: str) -> None:
    errors = [
        problem
        for problem in stage_of(name).problems
        if problem.severity is Severity.ERROR
    ]
    assert errors == []


@pytest.mark.parametrize("name", FILES)
def test_an_example_raises_only_the_doubts_that_it_means_to(name: str) -> None:
    doubts = {problem.code for problem in stage_of(name).problems}
    assert doubts == INTENDED.get(name, set())


@pytest.mark.parametrize("name", FILES)
def test_an_example_has_all_its_parts(name: str) -> None:
    assert len(stage_of(name).parts) == PARTS[name]


@pytest.mark.parametrize("name", FILES)
def test_an_example_opens_with_what_to_try_and_a_caution(name: str) -> None:
    head = text_of(name).split("\nstage ")[0]
    assert all(line.startswith("#") or not line for line in head.splitlines())
    assert "CAUTION:" in head
    assert "your local rules" in re.sub(r"\s*\n#\s*", " ", head)
    commands = re.findall(r"tracegraph (\w+)\s+examples/(\S+)", head)
    assert {command for command, _ in commands} >= {"check", "expect"}
    assert {file for _, file in commands} == {name}


@pytest.mark.parametrize("name", FILES)
def test_what_it_proposes_to_probe_exists(name: str) -> None:
    stage = stage_of(name)
    tried = re.findall(r"tracegraph expect\s+\S+\.trace (.+)", text_of(name))
    assert len(tried) >= 3
    for places in tried:
        for place in places.split(" --")[0].split():
            assert stage.net(place) or stage.part(place), place


@pytest.mark.parametrize("name", FILES)
def test_its_levels_speak_of_its_states_and_nets(name: str) -> None:
    stage = stage_of(name)
    lines = [line for line in text_of(name).splitlines() if line.startswith("# level")]
    assert len(lines) >= 3
    states = {state.name for state in stage.states}
    for line in lines:
        found = LEVEL.match(line)
        assert found, line
        state, red, black, volts, within = found.groups()
        assert state in states
        assert stage.net(red)
        assert stage.net(black)
        assert parse_value(volts, "V")
        assert parse_value(within, "V")


@pytest.mark.parametrize("name", FILES)
def test_its_readings_stand_on_its_nets(name: str) -> None:
    stage = stage_of(name)
    blocks = [entry for entry in stage.log if isinstance(entry, Block)]
    readings = [reading for block in blocks for reading in block.readings]
    assert len(readings) >= 4
    for reading in readings:
        assert stage.net(reading.red)
        assert stage.net(reading.black)


def test_the_treadmill_has_a_gate_and_a_common() -> None:
    stage = stage_of("treadmill-gate-drive.trace")
    assert {str(pin) for pin in stage.nets["GATE"]} == {"Q24.g", "R26.2", "R27.1"}
    assert stage.grounds[0].net == "COM"


def test_phase_v_is_a_copy_of_u_with_one_lawful_difference() -> None:
    stage = stage_of("solar-pump-half-bridge.trace")
    high, sister = stage.part("Q31"), stage.part("Q41")
    assert high is not None
    assert sister is not None
    assert high.pins == {"g": "GH_U", "d": "PV+", "s": "PH_U"}
    assert sister.pins == {"g": "GH_V", "d": "PV+", "s": "PH_V"}
    driver = stage.part("U41")
    assert driver is not None
    assert driver.pins["hin"] == "HIN_V"
    bigger = stage.part("C41")
    assert bigger is not None
    assert bigger.quantity("c").typical == pytest.approx(4.7e-6)
    assert [channel.lawful for channel in stage.channels] == [(), ("C41",)]


def test_the_charger_is_half_traced() -> None:
    stage = stage_of("charger-flyback-primary.trace")
    burnt, chip = stage.part("R67"), stage.part("U61")
    assert burnt is not None
    assert burnt.burnt
    assert not burnt.quantity("r").known
    assert chip is not None
    assert chip.kind.word == "ic"
    assert chip.untraced == {"1", "4", "7"}
    assert stage.untraced == ("FB",)
    assert [link.trusted for link in stage.links] == [False]


def test_the_reading_order_lists_every_example() -> None:
    listed = re.findall(r"^\| `(\S+\.trace)`", text_of("README.md"), re.MULTILINE)
    assert sorted(listed) == FILES
