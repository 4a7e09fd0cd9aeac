"""`tracegraph compare`: what differs from a known-good board, and how to confirm it."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import ROOT, Run

Golden = Callable[[str, str], None]
Board = Callable[[str], Path]
GOOD = "examples/treadmill-gate-drive.trace"
SUSPECT = "examples/suspects/treadmill-gate-drive.trace"
PUMP = "examples/solar-pump-half-bridge.trace"
OTHER_PUMP = "examples/suspects/solar-pump-phase-v.trace"
SMALL = "ground COM\nrail P12 12V\nR1 1k P12 -- OUT\nD1 diode OUT -> COM\n"


def test_four_differences_of_a_board_that_somebody_was_at(
    run: Run, golden: Golden
) -> None:
    done = run("compare", SUSPECT, GOOD)
    assert (done.code, done.err) == (1, "")
    golden("cli/compare-treadmill.txt", done.out)


def test_a_machine_gets_each_with_its_lines_and_readings(run: Run) -> None:
    told = json.loads(run("compare", SUSPECT, GOOD, "--json").out)
    (found,) = told["results"]
    by_kind = {one["kind"]: one for one in found["differences"]}
    assert set(by_kind) == {"bridged", "value", "kind", "absent"}
    assert len(found["differences"]) == 4
    assert by_kind["absent"]["reference"] == "D21"
    assert by_kind["value"]["traced"] == "R24"
    text = (ROOT / SUSPECT).read_text("utf-8").splitlines()
    assert text[by_kind["kind"]["traced_line"] - 1].startswith("Q23")
    assert text[by_kind["bridged"]["traced_line"] - 1].startswith("bridge")
    assert all(one["readings"] and one["loss"] for one in found["differences"])


def test_a_good_board_beside_itself_costs_nothing(run: Run) -> None:
    done = run("compare", GOOD, GOOD)
    assert done.code == 0
    assert "No difference; 15 parts were found in both." in done.out


def test_a_phase_of_another_board_without_a_map(run: Run, golden: Golden) -> None:
    done = run("compare", OTHER_PUMP, PUMP, "--with", "U")
    assert done.code == 1
    golden("cli/compare-solar-pump-phase.txt", done.out)


def test_the_sister_channel_differs_by_what_was_declared_only(
    run: Run, golden: Golden
) -> None:
    done = run("compare", PUMP, "--channel", "V", "--with", "U")
    assert done.code == 0
    golden("cli/compare-solar-pump-sisters.txt", done.out)


def test_without_a_reference_the_nearest_usual_stage_is_told(
    run: Run, golden: Golden
) -> None:
    done = run("compare", GOOD)
    assert (done.code, done.err) == (0, "")
    golden("cli/compare-nearest-treadmill.txt", done.out)
    told = json.loads(run("compare", GOOD, "--json").out)
    assert told["results"][0]["pattern"] == "gate-drive-helper"


def test_a_usual_stage_by_its_name(run: Run) -> None:
    done = run("compare", GOOD, "--pattern", "gate-drive-helper")
    assert done.code == 1
    assert "D2 is missing" in done.out
    assert "reads" not in done.out  # values are a matter of taste there


def test_other_sections_are_not_compared_part_by_part(run: Run) -> None:
    done = run("compare", SUSPECT, "examples/press-bus-trip.trace")
    assert done.code == 1
    assert "These are not the same section: similarity" in done.out


def test_two_logs_by_their_readings(run: Run, board: Board) -> None:
    good = board(SMALL + 'readings "good"\n  ohms P12 OUT 1.00k\n')
    bad = good.with_name("bad.trace")
    bad.write_text(SMALL + 'readings "bad"\n  ohms P12 OUT 3.3k\n', "utf-8")
    done = run("compare", bad, good, "--readings")
    assert done.code == 1
    assert "1 of 1 readings differ." in done.out
    assert "x 3.3" in done.out
    told = json.loads(run("compare", bad, good, "--readings", "--json").out)
    assert told["results"][0]["double_or_half"] is False
    assert run("compare", good, good, "--readings").code == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((GOOD, "--channel", "U"), "--channel and --with go together"),
        ((PUMP, "--channel", "X", "--with", "U"), "no channel X"),
        ((SUSPECT, GOOD, "--map", "R99=R21"), "no part R99 in the traced section"),
        ((SUSPECT, GOOD, "--map", "R21"), "--map wants pairs such as R11=R21"),
        ((SUSPECT, "--map", "R21=R21"), "--map needs a REFERENCE"),
        ((GOOD, "--pattern", "relay-drvier"), "did you mean relay-driver?"),
        ((SUSPECT, GOOD, "--pattern", "crowbar"), "leave the rest out"),
        ((GOOD, "--pattern", "mains-input"), "this section is no mains input"),
        ((GOOD, "--readings"), "--readings needs another file"),
        ((GOOD, "examples/no.trace"), "there is no file"),
    ],
    ids=lambda one: " ".join(one)[-30:] if isinstance(one, tuple) else "",
)
def test_what_cannot_be_compared_is_said(
    run: Run, words: tuple[str, ...], told: str
) -> None:
    done = run("compare", *words)
    assert done.code == 2
    assert told in done.err
    assert done.out == ""


def test_a_map_holds_whichever_side_comes_first(run: Run, board: Board) -> None:
    path = board(SMALL.replace("R1 ", "R9 "))
    good = path.with_name("good.trace")
    good.write_text(SMALL, "utf-8")
    for same in ("R9=R1", "R1=R9"):
        assert run("compare", path, good, "--map", same).code == 0


def test_the_picture_carries_the_differences(
    run: Run, tmp_path: Path, golden: Golden
) -> None:
    path = tmp_path / "suspect.svg"
    done = run("draw", SUSPECT, "--compare", GOOD, "-o", path)
    assert done.code == 0
    text = path.read_text("utf-8")
    golden("drawings/treadmill-suspect.svg", text)
    for role, target in (
        ("absent", "D21"),
        ("differs", "R24"),
        ("differs", "Q23"),
        ("bridged", "bridge 1"),
    ):
        assert f'data-role="{role}"' in text
        assert f'data-target="{target}"' in text


def test_a_picture_beside_one_channel_of_the_good_board(
    run: Run, tmp_path: Path
) -> None:
    path = tmp_path / "phase.svg"
    done = run("draw", OTHER_PUMP, "--compare", PUMP, "--with", "U", "-o", path)
    assert done.code == 0
    text = path.read_text("utf-8")
    assert text.count('data-status="ghost"') == 1  # R34, the pull-down, and no more
    assert "R34 is missing" in text
    refused = run("draw", OTHER_PUMP, "--with", "U", "-o", path)
    assert (refused.code, "add it" in refused.err) == (2, True)
    refused = run("draw", OTHER_PUMP, "--compare", PUMP, "--with", "X", "-o", path)
    assert (refused.code, "no channel X" in refused.err) == (2, True)
