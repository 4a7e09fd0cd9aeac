"""Which readings a section is judged by: those of the logs, or its own."""

from pathlib import Path

import pytest

from tracegraph.asking.api import read
from tracegraph.asking.evidence import judged
from tracegraph.asking.sources import UnreadableError
from tracegraph.stage.reading import Block, Event, Reading
from tracegraph.stage.stage import Stage

BOARD = """\
ground COM
R1 10k GATE -- COM
R2 1k  GATE -- DRV
readings "a healthy one"
  ohms GATE COM 10.0k
replaced R2
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "board.trace"
    path.write_text(BOARD, "utf-8")
    return path


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "day-two.csv"
    path.write_text("red,black,mode,reading\nGATE,COM,ohms,4.7k\n", "utf-8")
    return path


def readings(stage: Stage) -> list[Reading]:
    return [
        one for block in stage.log if isinstance(block, Block) for one in block.readings
    ]


def test_without_a_log_the_files_own_readings_count(file: Path) -> None:
    found = judged(read(file))
    assert [one.shown for one in readings(found.stage)] == [10e3]
    assert len(found.homes) == len(found.stage.log)


def test_with_a_log_only_its_readings_count_and_what_was_done(
    file: Path, log: Path
) -> None:
    found = judged(read(file), [log])
    assert [one.shown for one in readings(found.stage)] == [4.7e3]
    assert [type(one) for one in found.stage.log] == [Event, Block]


def test_the_file_among_the_logs_counts_too(file: Path, log: Path) -> None:
    found = judged(read(file), [file, log])
    assert [one.shown for one in readings(found.stage)] == [10e3, 4.7e3]
    assert judged(read(file), [file]).stage.log == read(file).log


def test_a_log_that_is_not_there_is_an_error(file: Path) -> None:
    with pytest.raises(UnreadableError, match="there is no file"):
        judged(read(file), [file.with_name("none.csv")])
