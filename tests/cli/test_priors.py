"""`tracegraph priors`: the table, for a section, with a user's own figures."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Run

Board = Callable[[str], Path]
SMALL = "ground COM\nR1 10k GATE -- COM\nQ1 npn b=B c=GATE e=COM\ntouched R1\n"


def test_the_whole_table_or_a_sections(run: Run, board: Board) -> None:
    whole = run("priors")
    assert (whole.code, whole.err) == (0, "")
    assert "crystal" in whole.out
    assert "MIL-HDBK-338B" in whole.out
    own = run("priors", board(SMALL))
    assert own.code == 0
    assert "crystal" not in own.out
    assert "- R1: touched times 4" in own.out


def test_a_users_own_figure_is_told(run: Run, tmp_path: Path) -> None:
    table = tmp_path / "mine.toml"
    table.write_text("[board]\ntrack = 0.01\n", "utf-8")
    assert "0.01 (your table)" in run("priors", "--priors", table).out
    told = json.loads(run("priors", "--priors", table, "--json").out)
    by_name = {one["name"]: one for one in told["results"] if one["sort"] == "figure"}
    assert by_name["board.track"]["value"] == 0.01
    assert by_name["board.track"]["source"] == "your table"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[board]\ntrak = 0.01\n", "did you mean board.track?"),
        ("[board\n", "is no table of priors"),
        ("[board]\ntrack = 'much'\n", "wants a number of 0 or more"),
        ("[kinds.resitor]\nrate = 1\n", "did you mean resistor"),
    ],
)
def test_a_table_that_cannot_be_used_is_refused(
    run: Run, tmp_path: Path, text: str, said: str
) -> None:
    table = tmp_path / "mine.toml"
    table.write_text(text, "utf-8")
    done = run("priors", "--priors", table)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert run("priors", table).code == 2
    assert "a table, no section" in run("priors", table).err


def test_a_table_that_is_not_there_is_told(run: Run) -> None:
    done = run("priors", "--priors", "nowhere.toml")
    assert done.code == 2
    assert "nowhere.toml can't be read" in done.err
