"""A log kept at the bench: all that was taken is there, whatever happens."""

import subprocess
import sys
from errno import ENOSPC
from os import strerror
from pathlib import Path
from typing import IO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.asking.logbook.benches import BENCHES, DISPLAYS, EVENTS, board
from tests.plain import plain
from tracegraph.asking.logbook.book import (
    Logbook,
    LogbookError,
    log_path,
    open_logbook,
)
from tracegraph.asking.logbook.logs import with_logs
from tracegraph.asking.logbook.standing import settled
from tracegraph.asking.logbook.typed import BenchNow, Wanted, typed
from tracegraph.asking.sources import UnreadableError
from tracegraph.stage.reading import (
    AS_IT_LIES,
    Block,
    Condition,
    Event,
    LogEntry,
    Mode,
    Reading,
)

ROOT = Path(__file__).parents[3]


def reading(text: str, bench: Condition = AS_IT_LIES) -> Reading:
    found = typed(board(), text, Wanted("GATE", "COM", Mode.OHMS), bench)
    assert isinstance(found, Reading)
    return found


def event(text: str) -> Event:
    found = typed(board(), text)
    assert isinstance(found, Event)
    return found


def bench(text: str, before: Condition = AS_IT_LIES) -> Condition:
    found = typed(board(), text, bench=before)
    assert isinstance(found, BenchNow)
    return found.condition


def book_at(path: Path) -> Logbook:
    return open_logbook(board(), path)[0]


def entries(path: Path) -> list[object]:
    """Return what a log says, reading by reading, event by event, without places."""
    found: list[LogEntry | Reading] = []
    for entry in with_logs(board(), [path]).stage.log[len(board().log) :]:
        found += entry.readings if isinstance(entry, Block) else [entry]
    return [plain(one) for one in found]


def test_a_reading_is_a_line_of_the_notation(tmp_path: Path) -> None:
    path = tmp_path / "evening.trace"
    with book_at(path) as book:
        book.add(reading("4k7"))
        book.add(reading("diode 0.580 without Q13"))
        book.stands(bench("lifted R14.1"))
        book.add(reading("beep N1 COM no", book.condition))
        book.add(event("replaced Q12 pnp"))
        book.add(reading("612"))
        book.undo()
    assert path.read_text("utf-8").splitlines() == [
        "# Readings of board.trace, in the order taken.",
        'readings "bench"',
        "  ohms GATE COM 4.7k",
        "  diode GATE COM 0.580 without Q13",
        'readings "bench" lifted R14.1',
        "  beep N1 COM no",
        "replaced Q12 pnp",
        'readings "bench"',
        "  ohms GATE COM 612R",
        "undo",
    ]


_STEP = st.one_of(
    st.tuples(st.sampled_from(DISPLAYS), st.sampled_from(("", *BENCHES))),
    st.tuples(st.just("stands"), st.sampled_from(("", *BENCHES))),
    st.tuples(st.sampled_from(("undo", "reopen", *EVENTS)), st.just("")),
)


@given(st.lists(_STEP, max_size=12))
def test_what_was_kept_reads_back_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, str]]
) -> None:
    path = tmp_path_factory.mktemp("log") / "evening.trace"
    book, now = book_at(path), AS_IT_LIES
    kept: list[object] = []
    for step, words in steps:
        if step == "undo":
            assert book.undo() == bool(kept)
            kept = kept[:-1]
        elif step == "reopen":
            book.close()
            book = book_at(path)
            assert book.condition == settled(book.condition)
        elif step == "stands":
            now = bench(words) if words else AS_IT_LIES
            book.stands(now)
        elif step in EVENTS:
            kept.append(plain(book.add(event(step))))
        else:
            wanted = reading(f"{step} {words}".strip(), now)
            added = book.add(wanted)
            assert isinstance(added, Reading)
            assert plain(added) == plain(wanted._replace(block="bench"))
            kept.append(plain(added))
    book.close()
    assert entries(path) == kept


def test_the_bench_stands_as_it_stood_when_the_log_is_taken_up_again(
    tmp_path: Path,
) -> None:
    path = tmp_path / "evening.trace"
    with book_at(path) as book:
        book.add(reading("4k7"))
        now = bench("unplugged J1", bench("lifted R14.1"))
        book.stands(now)
    again, logged = open_logbook(board(), path)
    with again:
        assert again.condition == now
        assert again.undo()
        assert not again.undo()
    assert len(logged.stage.log) == len(board().log) + 2
    assert entries(path) == []


@pytest.mark.parametrize("line", ["ohms B1 COM 12k", "ohms B1 CO", "readings"])
def test_a_last_line_without_an_end_is_ended_and_never_changed(
    line: str, tmp_path: Path
) -> None:
    path = tmp_path / "evening.trace"
    path.write_text(f"ohms N1 P12 1k0\n{line}")
    with book_at(path) as book:
        assert book.unended == line
        book.add(reading("4k7"))
    text = path.read_text()
    assert text.startswith(f"ohms N1 P12 1k0\n{line}\n")
    assert text.endswith("\n  ohms GATE COM 4.7k\n")


def test_two_sessions_on_one_log_lose_nothing_and_know_of_each_other(
    tmp_path: Path,
) -> None:
    path = tmp_path / "evening.trace"
    with book_at(path) as one, book_at(path) as two:
        one.add(reading("4k7"))
        two.stands(bench("lifted R14.1"))
        two.add(reading("4k8", two.condition))
        with pytest.raises(LogbookError, match="somebody else"):
            one.undo()
        one.add(reading("4k9"))
        assert one.others
        assert two.others
        assert one.undo()
        assert not one.undo()
    found = with_logs(board(), [path]).stage.log[1:]
    told = [
        one for block in found if isinstance(block, Block) for one in block.readings
    ]
    assert [one.shown for one in told] == [4700, 4800]
    assert [bool(one.condition.changes) for one in told] == [False, True]


@pytest.mark.parametrize(
    ("name", "text", "why"),
    [
        ("a.csv", "red,black,mode,reading\n", "is a table"),
        ("a.trace", "ground COM\nR1 1k A -- COM\n", "is a section"),
        (
            "a.trace",
            "ohms Z1 COM 1k\nohms Z2 COM 1k\nohms Z3 COM 1k\n",
            "another section",
        ),
        ("a.trace", "one\ntwo of them\nthree\nfour\n", "is this a log"),
    ],
)
def test_what_is_no_log_of_the_section_is_not_appended_to(
    name: str, text: str, why: str, tmp_path: Path
) -> None:
    path = tmp_path / name
    path.write_text(text)
    with pytest.raises(LogbookError, match=why):
        book_at(path)
    assert path.read_text() == text


def test_where_nothing_can_be_written_it_is_said(tmp_path: Path) -> None:
    with pytest.raises(LogbookError, match="can't be written"):
        book_at(tmp_path / "no such folder" / "evening.trace")
    with pytest.raises(UnreadableError, match="folder"):
        book_at(tmp_path)


def test_a_full_disk_is_told_and_the_next_reading_stands_on_a_line_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "evening.trace"
    with book_at(path) as book:
        book.add(reading("4k7"))
        monkeypatch.setattr(book, "_file", _Full(book._file))
        with pytest.raises(LogbookError, match="no space left on device: not kept"):
            book.add(reading("4k8"))
        monkeypatch.undo()
        book.add(reading("4k9"))
        assert not book.others
    found = with_logs(board(), [path])
    blocks = [one for one in found.stage.log[1:] if isinstance(one, Block)]
    assert [one.shown for block in blocks for one in block.readings] == [4700, 4900]
    wrong = [one.code for one in found.told[0].problems if one.severity == "error"]
    assert wrong == ["missing-display"]


class _Full:
    """A disk that takes all but the display of a reading, and then no more."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self.fileno = file.fileno

    def write(self, data: bytes) -> int:
        if data.startswith(b" 4"):
            raise OSError(ENOSPC, strerror(ENOSPC))
        return self._file.write(data[: data.index(b" 4")])


def test_a_log_lies_beside_its_section() -> None:
    file = Path("shop") / "pump.trace"
    assert log_path(file) == Path("shop") / "pump.readings.trace"
    assert log_path(file, "left") == Path("shop") / "left.readings.trace"
    assert log_path(file, "left.trace") == Path("left.trace")
    assert log_path(file, "logs/left") == Path("logs/left")


_ENDLESS = """
from pathlib import Path
from tests.asking.logbook.test_book import book_at, reading
book = book_at(Path({path!r}))
for number in range(1, 10**6):
    book.add(reading(f"{{number}}R"))
    print(number, flush=True)
"""


def test_nothing_that_was_taken_is_lost_when_the_session_is_killed(
    tmp_path: Path,
) -> None:
    path = tmp_path / "evening.trace"
    code = _ENDLESS.format(path=str(path))
    with subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, cwd=ROOT
    ) as session:
        assert session.stdout
        seen = [int(session.stdout.readline()) for _ in range(40)][-1]
        session.kill()
        rest = session.stdout.read().split()
    taken = int(rest[-1]) if rest else seen
    found = with_logs(board(), [path])
    numbers = [
        one.shown
        for block in found.stage.log[1:]
        if isinstance(block, Block)
        for one in block.readings
    ]
    assert numbers[:taken] == list(range(1, taken + 1))
    assert len(numbers) - taken in {0, 1}  # written, and killed before it was told
    with book_at(path) as book:
        book.add(reading("4k7"))
    assert len(entries(path)) == len(numbers) + 1
