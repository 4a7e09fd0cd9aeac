"""`tracegraph purpose`: what each part is for."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Run

Golden = Callable[[str, str], None]
Board = Callable[[str], Path]
GOOD = "examples/treadmill-gate-drive.trace"


def test_every_part_of_the_treadmill_board(run: Run, golden: Golden) -> None:
    done = run("purpose", GOOD)
    assert (done.code, done.err) == (0, "")
    golden("cli/purpose-treadmill.txt", done.out)


def test_parts_that_were_asked_for(run: Run, golden: Golden) -> None:
    done = run("purpose", "examples/press-bus-trip.trace", "r105", "C102", "R124")
    assert done.code == 0
    golden("cli/purpose-press-bus-trip.txt", done.out)


def test_a_machine_gets_the_figures(run: Run) -> None:
    told = json.loads(run("purpose", GOOD, "R22", "--json").out)
    (found,) = told["results"]
    assert (found["part"], found["role"]) == ("R22", "base pull-down")
    floats = next(one for one in found["changes"] if one["what"] == "floats")
    assert floats["subject"] == "NB"
    assert floats["states"] == ["with the controller unplugged"]
    assert floats["was"] == pytest.approx(22e3, rel=0.01)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((GOOD, "Q32"), "there is no part Q32; did you mean Q24?"),
        ((GOOD, "gate"), "gate is a net, not a part; on GATE are R26, R27, Q24"),
        ((GOOD, "Q24.g"), "Q24.g is a pin, not a part; on GATE are R26, R27, Q24"),
        (("examples/no.trace",), "there is no file"),
    ],
)
def test_what_cannot_be_told_is_said(
    run: Run, words: tuple[str, ...], told: str
) -> None:
    done = run("purpose", *words)
    assert done.code == 2
    assert told in done.err
    assert done.out == ""


def test_a_package_is_all_its_units(run: Run) -> None:
    told = json.loads(
        run("purpose", "examples/press-bus-trip.trace", "U103", "--json").out
    )
    assert [one["part"] for one in told["results"]] == ["U103.A", "U103.B", "U103.C"]


def test_a_file_without_parts_says_what_to_write(run: Run, board: Board) -> None:
    done = run("purpose", board("ground COM\n"))
    assert done.code == 2
    assert "has no parts yet" in done.err


def test_an_unknown_role_is_said_to_be_unknown(run: Run, board: Board) -> None:
    text = "ground COM\nrail P5 5V\nU1 ic 1=A 2=COM\nR1 1k P5 -- A\n"
    done = run("purpose", board(text), "U1")
    assert "its place does not tell what it is for" in done.out
