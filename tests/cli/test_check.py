"""`tracegraph check`: everything understood, everything doubted."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import ROOT, Run

Golden = Callable[[str, str], None]
EXAMPLES = sorted(path.stem for path in (ROOT / "examples").glob("*.trace"))
SLIPS = """\
stage "with slips"
ground COM
rail P12 12V
R1 1k P12 -- OUT
R2 10zz OUT -- COM
D1 dioed OUT -> COM
R3 470 OUT -- COM
"""


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_understood_of_an_example(run: Run, golden: Golden, name: str) -> None:
    done = run("check", f"examples/{name}.trace")
    assert (done.code, done.err) == (0, "")
    golden(f"cli/check-{name}.txt", done.out)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_machine_gets_the_same_section(run: Run, name: str) -> None:
    done = run("check", f"examples/{name}.trace", "--json")
    told = json.loads(done.out)
    assert (told["tool"], told["format"], told["command"]) == ("tracegraph", 1, "check")
    assert told["file"] == f"examples/{name}.trace"
    (section,) = told["results"]
    assert len(section["parts"]) > 10
    assert set(section["nets"]) >= set(section["grounds"])


def test_errors_are_shown_with_their_lines_and_cost_exit_code_1(
    run: Run, golden: Golden, board: Callable[[str], Path]
) -> None:
    path = board(SLIPS)
    done = run("check", path)
    assert done.code == 1
    golden("cli/check-slips.txt", done.out.replace(str(path), "board.trace"))


def test_a_machine_gets_every_problem_with_its_place(
    run: Run, board: Callable[[str], Path]
) -> None:
    told = json.loads(run("check", board(SLIPS), "--json").out)
    lines = {one["line"]: one["severity"] for one in told["problems"]}
    assert lines[5] == "error"
    assert lines[6] == "error"
    assert lines[3] == "doubt"
    assert all(one["code"] and one["message"] for one in told["problems"])


def test_a_rail_without_a_rest_is_the_first_thing_to_measure(
    run: Run, board: Callable[[str], Path]
) -> None:
    out = run("check", board("ground COM\nrail P12 12V\nR1 1k P12 -- COM\n")).out
    assert out.index("Measure these first") < out.index("Parts")
    assert "P12 to COM, and write `rest P12 -- COM ...`" in out


def test_doubts_alone_are_no_failure(run: Run, board: Callable[[str], Path]) -> None:
    done = run("check", board("ground COM\nrail P12 12V\nR1 1k P12 -- COM\n"))
    assert done.code == 0


def test_a_section_may_come_from_standard_input(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Typed:
        class buffer:  # noqa: N801  # the name that standard input gives it
            @staticmethod
            def read() -> bytes:
                return b"ground COM\nR1 1k A -- COM\nR2 1k A -- COM\n"

    monkeypatch.setattr("sys.stdin", Typed)
    assert "R1" in run("check", "-").out
