"""`tracegraph levels`: every net in every state, the walk, and what was probably meant."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tracegraph.draw.overlay import OnNet
from tracegraph.levels.levels import levels
from tracegraph.meter.profile_file import find_meter
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.stage.read import read
from tracegraph.views.levels_overlay import levels_overlay

GATE = "examples/treadmill-gate-drive.trace"
EXAMPLES = ("treadmill-gate-drive", "charger-flyback-primary")
SWITCH = """
ground COM
rail P12 12V
input GO 0V / 5V via 100R
R1 1k GO -- B
Q1 npn b=B c=OUT e=COM
R2 1k P12 -- OUT
"""


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_net_of_an_example_in_its_states(
    run: Run, golden: Callable[[str, str], None], name: str
) -> None:
    done = run("levels", f"examples/{name}.trace")
    assert (done.code, done.err) == (0, "")
    assert max(map(len, done.out.splitlines())) <= 80
    golden(f"cli/levels-{name}.txt", done.out)


def test_one_state_is_told_alone(run: Run) -> None:
    done = run("levels", GATE, "--state", "STOP")
    assert "run: SPD=high" not in done.out
    assert "stop: SPD=low" in done.out


def test_a_machine_gets_a_result_a_state(run: Run) -> None:
    told = json.loads(run("levels", GATE, "--json").out)
    assert [one["state"] for one in told["results"]] == ["run", "stop"]
    gate = {one["net"]: one for one in told["results"][0]["levels"]}["GATE"]
    assert gate["over"] == "COM"
    assert gate["shown"] == pytest.approx(14.4, abs=0.2)
    assert gate["low"] < gate["shown"] < gate["high"]
    assert {"devices", "loads", "walk", "remarks"} <= told["results"][0].keys()
    assert [one.split()[0] for one in told["cautions"]] == ["HV+", "A"]


def test_a_harmless_board_has_no_cautions(
    run: Run, board: Callable[[str], Path]
) -> None:
    assert json.loads(run("levels", board(SWITCH), "--json").out)["cautions"] == []


def test_a_part_out_of_its_holes_is_no_part_of_the_levels(
    run: Run, board: Callable[[str], Path]
) -> None:
    told = json.loads(run("levels", board(SWITCH), "--without", "Q1", "--json").out)
    for one in told["results"]:
        (out,) = [level for level in one["levels"] if level["net"] == "OUT"]
        assert out["volts"] == pytest.approx(12.0, abs=0.01)


def test_a_state_that_is_not_there_is_answered_with_those_that_are(run: Run) -> None:
    done = run("levels", GATE, "--state", "rn")
    assert done.code == 2
    assert "there is no state rn in this section; declared: run, stop" in done.err


def test_a_rail_without_a_voltage_has_no_levels_but_a_hint(
    run: Run, board: Callable[[str], Path]
) -> None:
    done = run("levels", board(SWITCH.replace("P12 12V", "P12 ?")))
    assert "P12 has no voltage: write it on its line" in done.out
    assert "inf" not in done.out


def test_levels_are_laid_over_the_drawing() -> None:
    stage = read(from_bytes(GATE, Path(GATE).read_bytes()))
    found = levels(stage, find_meter("handheld"), "run")
    overlay = levels_overlay(found.states[0], found.meter)
    nets = {m.target.net: m.text for m in overlay.marks if isinstance(m.target, OnNet)}
    assert nets["GATE"] == "14.4 V"
    assert nets["PULL"] == "0.0138 V"


def test_a_latch_is_drawn_with_both_levels_and_no_switch_called_off() -> None:
    text = """
    ground GND
    rail P12 12V
    input TRIP 0V / 5V
    R1 10k TRIP -- B1
    R2 10k B1 -- GND
    Q1 npn b=B1 c=C1 e=GND
    R3 10k P12 -- B2
    R4 4k7 B2 -- C1
    Q2 pnp b=B2 e=P12 c=C2
    R5 10k C2 -- B1
    R6 1k C2 -- GND
    """
    stage = read(from_text("latch", text))
    overlay = levels_overlay(levels(stage, find_meter("handheld")).states[0], "any")
    nets = {m.target.net: m.text for m in overlay.marks if isinstance(m.target, OnNet)}
    assert nets["C2"] == "0 V/12 V"
    assert not [m for m in overlay.marks if not isinstance(m.target, OnNet)]


def test_the_picture_of_one_state_is_written(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "run.svg"
    done = run("draw", GATE, "--levels", "run", "-o", path)
    assert done.code == 0
    text = path.read_text("utf-8")
    assert "14.4 V" in text
    assert "levels in run" in text
