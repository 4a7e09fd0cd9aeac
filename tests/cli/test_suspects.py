"""`tracegraph suspects` and `next`: the part, the slip, the next probe."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import ROOT, Run

Golden = Callable[[str, str], None]
Write = Callable[[str, str], Path]
GATE = "examples/treadmill-gate-drive.trace"
# What the solver shows with 1.2 k across Q23, typical parts.
LEAKY = """\
readings "as it came in"
  ohms   GATE COM  1.15k
  diode  GATE COM  0.655
  diode  COM  GATE 0.836
  diode  SRC  MOT- 0.478
"""
SMALL = "ground COM\nR1 1k IN -- OUT\nR2 1k OUT -- COM\nD1 diode IN -> COM\n"


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Return a writer of files into one folder."""

    def written(name: str, text: str) -> Path:
        path = tmp_path / name
        path.write_text(text, "utf-8")
        return path

    return written


def test_a_leaky_board_by_its_log(run: Run, write: Write, golden: Golden) -> None:
    done = run("suspects", GATE, write("day.trace", LEAKY))
    assert (done.code, done.err) == (0, "")
    golden("cli/suspects-treadmill-leaky.txt", done.out)


def test_the_next_probe_after_it(run: Run, write: Write, golden: Golden) -> None:
    done = run("next", GATE, write("day.trace", LEAKY))
    assert (done.code, done.err) == (0, "")
    golden("cli/next-treadmill-leaky.txt", done.out)


def test_without_a_log_the_readings_in_the_file_count(run: Run) -> None:
    done = run("suspects", GATE)
    assert (done.code, done.err) == (0, "")
    assert "All 5 readings are as expected" in done.out
    assert "Not tested by these readings" in done.out


def test_a_filled_in_sheet_is_a_log(run: Run, write: Write) -> None:
    board = write("board.trace", SMALL)
    sheet = (
        "red;black;mode;reading\nOUT;COM;ohms;OL\nCOM;OUT;ohms;OL\nIN;OUT;ohms;1,00k\n"
    )
    done = run("suspects", board, write("sheet.csv", sheet))
    assert (done.code, done.err) == (0, "")
    assert "R2 open" in done.out


def test_a_machine_gets_the_groups(run: Run, write: Write) -> None:
    board = write("board.trace", SMALL + "readings\n  ohms OUT COM OL\n")
    told = json.loads(run("suspects", board, "--json").out)
    assert (told["command"], told["file"]) == ("suspects", str(board))
    names = [
        (one["name"], one["parts"])
        for group in told["results"]
        for one in group["suspects"]
    ]
    assert ("open", ["R2"]) in names
    assert told["verdict"]["readings"][0]["display"] == "OL"
    advice = json.loads(run("next", board, "--json").out)
    assert advice["command"] == "next"
    assert isinstance(advice["advice"]["done"], bool)


def test_without_any_reading_the_first_probe_is_told(run: Run, write: Write) -> None:
    board = write("board.trace", SMALL)
    empty = run("suspects", board)
    assert empty.code == 0
    assert "The first probe to set: tracegraph next FILE" in empty.out
    first = run("next", board)
    assert first.code == 0
    assert "red on" in first.out


def test_what_a_log_leaves_in_doubt_is_said_beside_the_answer(
    run: Run, write: Write
) -> None:
    board = write("board.trace", SMALL)
    log = write("log.trace", "readings\n  ohms OUT COM 1.00k\n  ohms OTU COM 5k\n")
    done = run("suspects", board, log)
    assert done.code == 1
    assert "log.trace: Line 3 is not understood" in done.err
    assert "OUT" in done.err
    assert "1 reading" in done.out
    told = json.loads(run("suspects", board, log, "--json").out)
    assert [one["log"] for one in told["problems"]] == [str(log)]


@pytest.mark.parametrize("command", ["suspects", "next"])
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("day.tarce",), "did you mean day.trace?"),
        (("--meter", "nedle"), "there is no meter called nedle"),
        (("--priors", "none.toml"), "none.toml can't be read"),
        (("--jsno",), "did you mean --json?"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    run: Run,
    write: Write,
    monkeypatch: pytest.MonkeyPatch,
    command: str,
    words: tuple[str, ...],
    said: str,
) -> None:
    folder = write("day.trace", LEAKY).parent
    monkeypatch.chdir(folder)
    done = run(command, ROOT / GATE, *words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert done.err.count("\n") == 1


def test_the_users_own_priors_count(run: Run, write: Write) -> None:
    board = write("board.trace", SMALL + "readings\n  ohms OUT COM OL\n")
    table = write("mine.toml", "[board]\ntrack = 0.1\n")

    def chance_of_track(*more: str | Path) -> float:
        told = json.loads(run("suspects", board, "--json", *more).out)
        return sum(
            float(one["chance"])
            for group in told["results"]
            for one in group["suspects"]
            if one["sort"] == "track"
        )

    assert chance_of_track("--priors", table) > chance_of_track()


def test_the_picture_carries_the_suspects(
    run: Run, write: Write, tmp_path: Path
) -> None:
    path = tmp_path / "suspects.svg"
    board, log = write("board.trace", SMALL), "readings\n  ohms OUT COM OL\n"
    done = run("draw", board, "--suspects", write("day.trace", log), "-o", path)
    assert (done.code, done.err) == (0, "")
    text = path.read_text("utf-8")
    assert 'data-role="suspect"' in text
    assert 'data-target="R2"' in text
    assert "OL !" in text
    good = write("good.trace", SMALL + "readings\n  ohms OUT COM 1.00k\n")
    done = run("draw", good, "-o", path, "--suspects")
    assert done.code == 0
    assert "as expected" in path.read_text("utf-8")
