"""`tracegraph plan` from the command line."""

import json
from pathlib import Path

from tests.cli.conftest import Run

CHARGER = "examples/charger-flyback-primary.trace"


def test_the_charger_has_a_plan(run: Run) -> None:
    done = run("plan", CHARGER)
    assert (done.code, done.err) == (0, "")
    first, second, *_ = done.out.splitlines()
    assert first == "charger, primary side, powering up"
    assert second.startswith("CAUTION: ")


def test_a_line_that_is_not_understood_is_told(run: Run, tmp_path: Path) -> None:
    board = tmp_path / "board.trace"
    board.write_text("ground COM\nrail P12 12V\nR1 12Q P12 -- COM\n", "utf-8")
    done = run("plan", str(board), "--json")
    assert done.code == 1
    assert "line 3" in done.err
    assert json.loads(done.out)["problems"][-1]["line"] == 3
