"""`tracegraph sheet`: to print, as CSV, for machines; rest readings first."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Run

GATE = "examples/treadmill-gate-drive.trace"
EXAMPLES = ("treadmill-gate-drive", "welder-igbt-driver")
SMALL = "ground COM\nrail P12 12V\nR1 1k P12 -- OUT\nD1 diode OUT -> COM\n"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_twenty_most_telling_rows_of_an_example(
    run: Run, golden: Callable[[str, str], None], name: str
) -> None:
    done = run("sheet", f"examples/{name}.trace", "--short", "20")
    assert (done.code, done.err) == (0, "")
    assert max(map(len, done.out.splitlines())) <= 80
    golden(f"cli/sheet-{name}.txt", done.out)


def test_csv_is_a_log_with_its_last_column_empty(run: Run) -> None:
    table = list(csv.reader(io.StringIO(run("sheet", GATE, "--csv").out)))
    assert table[0] == ["red", "black", "mode", "low", "high", "expected", "reading"]
    assert len(table) % 2 == 1
    assert {row[-1] for row in table[1:]} == {""}
    assert all(row[5] for row in table[1:])


def test_a_machine_gets_a_bare_list_of_ordered_readings(run: Run) -> None:
    told = json.loads(run("sheet", GATE, "--short", "3", "--json").out)
    assert len(told) == 6
    assert (told[0]["red"], told[0]["black"]) == (told[1]["black"], told[1]["red"])
    assert all({"display", "low", "high", "for"} <= set(one) for one in told)


def test_all_means_every_ordered_pair_in_every_mode(
    run: Run, board: Callable[[str], Path]
) -> None:
    table = run("sheet", board(SMALL), "--all", "--csv").out.splitlines()
    nets, modes = 3, 2
    assert len(table) - 1 == nets * (nets - 1) * modes


def test_what_hangs_on_a_rail_is_asked_first(
    run: Run, board: Callable[[str], Path]
) -> None:
    told = json.loads(run("sheet", board(SMALL), "--json").out)
    assert (told[0]["red"], told[0]["black"], told[0]["for"]) == ("P12", "COM", "rest")


def test_a_lost_line_is_told_above_the_sheet(
    run: Run, board: Callable[[str], Path]
) -> None:
    done = run("sheet", board(f"{SMALL}R9 4k7zz OUT -- COM\n"))
    assert done.code == 1
    assert "Line 5 is not understood" in done.err
    assert "[      ]" in done.out


def test_a_section_without_parts_has_nothing_to_probe(
    run: Run, board: Callable[[str], Path]
) -> None:
    done = run("sheet", board("ground COM\n"))
    assert done.code == 0
    assert "nothing here worth probing" in done.out
