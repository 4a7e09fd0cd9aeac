"""A log kept at the bench: every reading is on the disk before the next one is taken."""

import os
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple, Self

from tracegraph.asking.logbook.files import LogText, log_text, readable
from tracegraph.asking.logbook.lines import read_lines
from tracegraph.asking.logbook.logs import Logged, meant, with_texts
from tracegraph.asking.logbook.standing import lasting, settled
from tracegraph.asking.logbook.table import is_table
from tracegraph.asking.sources import WIDE_MARKS, bytes_of
from tracegraph.notation.parser import parse
from tracegraph.notation.source import from_text
from tracegraph.notation.syntax import EventLine, ReadingLine, UndoLine
from tracegraph.stage.reading import (
    AS_IT_LIES,
    Block,
    Condition,
    Event,
    LogEntry,
    Reading,
)
from tracegraph.stage.stage import Stage
from tracegraph.stage.writing.log import log_lines
from tracegraph.stage.writing.parts import places

SUFFIX = ".readings.trace"
_REFUSED = frozenset({"another-section", "no-log"})


class LogbookError(ValueError):
    """A log can't be kept: says why, and what became of the reading."""


class _Head(NamedTuple):
    """The block that is open in the file."""

    title: str
    meter: str
    condition: Condition


def log_path(file: Path, name: str = "") -> Path:
    """Return where the log of a section is kept: beside it, unless a path is given.

    >>> (
    ...     log_path(Path("shop/pump.trace")).name,
    ...     log_path(Path("pump.trace"), "left").name,
    ... )
    ('pump.readings.trace', 'left.readings.trace')
    """
    if name and (Path(name).suffix or Path(name).parent != Path()):
        return Path(name)
    return file.with_name(f"{name or file.stem}{SUFFIX}")


class Logbook:
    """A log that is only ever appended to.

    Every entry is written, flushed and synced before the call returns, each as whole
    lines; nothing that is there is ever changed.

    Attributes:
        path: Its file.
        condition: How the bench stands, as the log has it.
        unended: The last line as it was found, if it had no line end: was it whole?
        others: Whether somebody else has written in the file since it was opened.
    """

    def __init__(self, stage: Stage, path: Path, title: str, meter: str) -> None:
        """Open the file; `open_logbook` has looked at what is in it."""
        self.path = path
        self.condition = AS_IT_LIES
        self.unended = ""
        self.others = False
        self._stage = stage
        self._title = " ".join(title.replace('"', "'").split())
        self._meter = meter
        self._head: _Head | None = None
        self._events: list[bool] = []  # of what can be taken back: is it an event?
        new = not path.exists()
        try:
            self._file = path.open("ab", buffering=0)
        except OSError as fault:
            raise LogbookError(_cannot(path, fault)) from None
        self._end = self._size()
        if new:
            _sync_folder(path.parent)

    def __enter__(self) -> Self:
        """Return the book itself; it is closed behind the block."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the file."""
        self.close()

    def close(self) -> None:
        """Close the file: all that was added is in it already."""
        self._file.close()

    def add(self, entry: Reading | Event) -> Reading | Event:
        """Append a reading or an event; return it as it will be read back.

        Raises:
            LogbookError: It can't be written, and is not kept.
        """
        self._look_round()
        if isinstance(entry, Event):
            lines = log_lines(entry, places(self._stage))
            kept: LogEntry = self._read_back(lines)
            self._append(lines)
            self._head = None
        else:
            head, line = self._lines(entry)
            kept = self._read_back([head, line])
            wanted = self._wanted(entry)
            self._append([line] if wanted == self._head else [head, line])
            self._head = wanted
        self._events.append(isinstance(entry, Event))
        if isinstance(kept, Block):
            return kept.readings[0]._replace(source=None)
        return kept._replace(source=None)

    def stands(self, condition: Condition) -> None:
        """Append how the bench stands from now on: a block of its own.

        What holds for one reading only, nets joined first, is left to that reading.

        Raises:
            LogbookError: It can't be written.
        """
        self._look_round()
        condition = lasting(settled(condition))
        head = _Head(self._title, self._meter, condition)
        self._append([self._head_line(head)])
        self._head, self.condition = head, condition

    def undo(self) -> bool:
        """Take the last reading or event back; return False if there is none.

        Raises:
            LogbookError: Somebody else has written since, or it can't be written.
        """
        if self._is_foreign():
            raise LogbookError(
                f"somebody else has written in {self.path} since: look at it first"
            )
        if not self._events:
            return False
        self._append(["undo"])
        if self._events.pop():
            self._head = None  # the block before the event is open again
        return True

    def _wanted(self, reading: Reading) -> _Head:
        """Return the block that a reading can stand in: the open one, if it can."""
        title, meter = reading.block or self._title, reading.meter or self._meter
        own = settled(reading.condition)
        now = self._head
        if now and now[:2] == (title, meter) and _extends(own, now.condition):
            return now
        changes, out = own.changes, own.unplugged
        return _Head(title, meter, Condition(changes=changes, unplugged=out))

    def _lines(self, reading: Reading) -> tuple[str, str]:
        head = self._wanted(reading)
        told = reading._replace(condition=settled(reading.condition))
        block = Block(*head, (told,))
        first, second = log_lines(block, places(self._stage))
        return first, second

    def _head_line(self, head: _Head) -> str:
        return log_lines(Block(*head, ()), places(self._stage))[0]

    def _read_back(self, lines: list[str]) -> LogEntry:
        """Return what lines say; nothing is written that would not be understood."""
        written = read_lines(from_text(str(self.path), "\n".join(lines)))
        entries, problems = meant(self._stage, written)
        wrong = [*written.problems, *(p for p in problems if p.severity == "error")]
        if wrong or not entries:
            why = wrong[0].message if wrong else "it says nothing"
            raise LogbookError(f"`{lines[-1].strip()}` is not kept: {why}")
        return entries[-1]

    def _append(self, lines: list[str]) -> None:
        data = ("\n".join(lines) + "\n").encode()
        try:
            if not _ends_line(self.path):
                data = b"\n" + data
            while data:
                data = data[self._file.write(data) or 0 :]
            os.fsync(self._file.fileno())
        except OSError as fault:
            self._head = None
            raise LogbookError(f"{_cannot(self.path, fault)}: not kept") from None
        finally:
            self._end = self._size()

    def _look_round(self) -> None:
        """Begin a block anew where somebody else has written since."""
        if self._is_foreign():
            self.others, self._head = True, None
            self._events.clear()

    def _is_foreign(self) -> bool:
        return self._size() != self._end

    def _size(self) -> int:
        return os.fstat(self._file.fileno()).st_size

    def _resume(self, text: LogText, entries: tuple[LogEntry, ...]) -> None:
        """Take over what stands in the file already."""
        if text.unended:
            self.unended = text.source.line(text.unended).strip()
        for one in parse(readable(text)).statements:
            if isinstance(one, ReadingLine | EventLine):
                self._events.append(isinstance(one, EventLine))
            elif isinstance(one, UndoLine) and self._events:
                self._events.pop()
        last = entries[-1] if entries else None
        self.condition = last.condition if isinstance(last, Block) else AS_IT_LIES


def open_logbook(
    stage: Stage, path: Path, *, title: str = "bench", meter: str = ""
) -> tuple[Logbook, Logged]:
    """Open or create a log, and read what stands in it already.

    Args:
        stage: The section; readings of other logs may be in its log already.
        path: The log's file.
        title: Title of the blocks that are added.
        meter: Name of the meter, if it is not the usual one.

    Returns:
        The book, and the section with the log's readings behind its own.

    Raises:
        LogbookError: The file is no log in the notation, or of another section, or it
            can't be written.
        UnreadableError: The file can't be read, or holds no text.
    """
    text = log_text(path) if path.exists() else LogText(from_text(str(path), ""))
    _demand(stage, text)
    logged = with_texts(stage, [text])
    for told in logged.told:
        wrong = next((one for one in told.problems if one.code in _REFUSED), None)
        if wrong:
            raise LogbookError(f"{path}: {wrong.message}")
    book = Logbook(stage, path, title, meter)
    book._resume(text, logged.stage.log[len(stage.log) :])  # noqa: SLF001 - its maker
    if not text.source.text:
        name = Path(stage.source.name).name if stage.source else "a section"
        book._append([f"# Readings of {name}, in the order taken."])  # noqa: SLF001
    return book, logged


def _demand(stage: Stage, text: LogText) -> None:
    """Refuse what readings can't be appended to."""
    name = text.source.name
    if Path(name).exists() and bytes_of(Path(name)).startswith(WIDE_MARKS):
        raise LogbookError(f"{name} is not written in UTF-8: give a log of its own")
    if is_table(text.source):
        raise LogbookError(f"{name} is a table: give a log of its own, name.trace")
    own = stage.source and Path(stage.source.name).resolve() == Path(name).resolve()
    if own or read_lines(readable(text)).parts:
        raise LogbookError(f"{name} is a section: give a log of its own beside it")


def _extends(own: Condition, base: Condition) -> bool:
    """Return whether a tail can say what a reading's bench has beyond its block's."""
    pairs = (
        (own.changes, base.changes),
        (own.joined, base.joined),
        (own.unplugged, base.unplugged),
    )
    begun = all(more[: len(less)] == less for more, less in pairs)
    return begun and (base.cold or own.power == base.power)


def _ends_line(path: Path) -> bool:
    """Return whether a file is empty or ends with a line end."""
    with path.open("rb") as stream:
        if not stream.seek(0, os.SEEK_END):
            return True
        stream.seek(-1, os.SEEK_END)
        return stream.read(1) == b"\n"


def _sync_folder(folder: Path) -> None:
    """Have a new file's name on the disk too, where a system can do that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _cannot(path: Path, fault: OSError) -> str:
    return f"{path} can't be written: {(fault.strerror or str(fault)).lower()}"
