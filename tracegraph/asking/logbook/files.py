"""The text of a log's file, also as a power cut leaves it behind."""

import re
from pathlib import Path
from typing import NamedTuple

from tracegraph.asking.sources import WIDE_MARKS, UnreadableError, bytes_of
from tracegraph.diagnostics import Problem, Severity, Span, doubt
from tracegraph.notation.source import Source, from_bytes, from_text

_EMPTIED = re.compile(rb"\0{2,}")  # what a power cut leaves of a block of a disk
_NO_TEXT = re.compile(r"[\0-\x08\x0e-\x19\x1b-\x1f]")
_MARK = "?"


class LogText(NamedTuple):
    """The text of a log.

    Attributes:
        source: What is read, and shown beside a problem.
        damaged: Lines that hold empty bytes, as after a power cut.
        unended: Number of the last line, where it has no line end; else 0.
    """

    source: Source
    damaged: tuple[int, ...] = ()
    unended: int = 0


def log_text(path: Path) -> LogText:
    """Return the text of a log; an empty file is an empty log.

    Raises:
        UnreadableError: There is no such file, or it holds no text.
    """
    return text_of(str(path), bytes_of(path))


def text_of(name: str, data: bytes) -> LogText:
    """Return the text of a log from its bytes.

    Raises:
        UnreadableError: The bytes are no text.
    """
    if data.startswith(WIDE_MARKS):  # a spreadsheet's other way of writing text
        data = data.decode("utf-16", errors="replace").encode()
    mark = b"\0" if _EMPTIED.search(data) else b""
    source = from_bytes(name, _EMPTIED.sub(mark, data))
    damaged = tuple(
        number
        for number, line in enumerate(source.text.split("\n"), 1)
        if mark and "\0" in line
    )
    text = source.text.replace("\0", _MARK) if mark else source.text
    if _NO_TEXT.search(text):
        raise UnreadableError(f"{name} holds no text")
    last = text.rstrip("\x1a").split("\n")
    unended = len(last) if last[-1].strip() else 0
    return LogText(from_text(name, text.rstrip("\x1a")), damaged, unended)


def readable(log: LogText) -> Source:
    """Return what is read: damaged lines are left out."""
    lines = log.source.text.split("\n")
    for number in log.damaged:
        lines[number - 1] = ""
    return Source(log.source.name, "\n".join(lines))


def after_power_cut(log: LogText, problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Return the problems, with what a power cut explains told as that."""
    kept = [one for one in problems if not _of_cut(log, one)]
    if len(kept) < len(problems):
        message = "The last line has no line end and can't be read: cut short?"
        hint = "It is left out. Take that reading again."
        kept.append(doubt("cut-short", message, _place(log, log.unended), hint))
    for number in log.damaged:
        message = "This line holds empty bytes, as a power cut leaves them."
        hint = "It is left out. Take that reading again."
        kept.append(doubt("cut-short", message, _place(log, number), hint))
    return tuple(kept)


def _of_cut(log: LogText, problem: Problem) -> bool:
    last = problem.span is not None and problem.span.line == log.unended
    return last and problem.severity is Severity.ERROR


def _place(log: LogText, number: int) -> Span:
    line = log.source.line(number)
    start = len(line) - len(line.lstrip())
    return Span(number, start + 1, max(len(line.rstrip()), start + 1) + 1)
