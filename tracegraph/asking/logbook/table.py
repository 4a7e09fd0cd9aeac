"""A log as a table: the filled-in CSV of `sheet`, or any with red, black, reading."""

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from tracegraph.asking.logbook.cells import Cell, Row, rows
from tracegraph.asking.logbook.columns import (
    HOW,
    Columns,
    columns_of,
    missing_columns,
    mode_called,
    mode_names,
    names_probes,
)
from tracegraph.asking.logbook.written import Written
from tracegraph.diagnostics import Problem, Span, error
from tracegraph.marking import parse_any
from tracegraph.nearest import nearest
from tracegraph.notation.parser import parse_tail
from tracegraph.notation.source import Source
from tracegraph.notation.syntax import ReadingLine, Statement, Tail, Word
from tracegraph.notation.words import joined
from tracegraph.stage.reading import Mode

_SUFFIXES = (".csv", ".tsv", ".tab")
_NOT_TAKEN = frozenset({"", "-", "--", "–", "—", "?", "n/a", "na"})
_TAILS = frozenset({"without", "lifted", "joined", "unplugged", "with", "in", "after"})
_POWERED = re.compile(r"(\d+(?:[.,]\d+)?)[eE]\+?(-?\d+)", re.ASCII)
_BY_UNIT = {"ohm": Mode.OHMS, "F": Mode.CAP}
_BEEPS = frozenset({"b", "beep", "beeps", "no beep", "silent"})


def is_table(source: Source) -> bool:
    """Return whether a text is a table: by its file's name, or by its first line."""
    if source.name.lower().endswith(_SUFFIXES):
        return True
    head = next(rows(source), None)
    return head is not None and len(head.cells) > 2 and names_probes(head)


def read_table(source: Source) -> Written:
    """Return the readings of a table; rows without a reading say nothing."""
    every = list(rows(source))
    if not every:
        return Written()
    head, *body = every
    columns = columns_of(head)
    problems = tuple(missing_columns(head, columns))
    if problems:
        return Written(problems=problems)
    told = [(row, _row(row, columns, head)) for row in body]
    unended = len(source.text.split("\n"))
    cut = [_cut(row) for row, one in told[-1:] if _short(row, one, head, unended)]
    found = [one for _, one in told]
    asked = tuple(_ask_modes([one for one in found if isinstance(one, _NoMode)]))
    statements = tuple(one for one in found if isinstance(one, ReadingLine))
    wrong = tuple(one for one in found if isinstance(one, Problem))
    return Written(statements, (*wrong, *asked, *cut))


class _NoMode(NamedTuple):
    """A row of which nothing tells the mode."""

    row: Row


_Told = Statement | Problem | _NoMode | None


def _short(row: Row, told: _Told, head: Row, last: int) -> bool:
    """Return whether the last row ends before its reading, and without a line end."""
    return told is None and row.line == last and len(row.cells) < len(head.cells)


def _cut(row: Row) -> Problem:
    message = "This row ends before its reading."
    return error("short-row", message, row.span, HOW)


def _row(row: Row, columns: Columns, head: Row) -> _Told:
    shown = row.at(columns["reading"])
    if shown is None or shown.text.lower() in _NOT_TAKEN:
        return None
    extra = [cell for cell in row.cells[len(head.cells) :] if cell.text]
    if extra:
        return _too_many(row, extra[0], len(head.cells))
    red, black = row.at(columns["red"]), row.at(columns["black"])
    if red is None or black is None:
        message = f"`{shown.text}` was read between which points?"
        return error("missing-probe", message, row.span, "Fill in red and black.")
    mode = _mode(row, columns, shown)
    if not isinstance(mode, Word):
        return mode
    return _reading(row, columns, (mode, _word(red), _word(black)), shown)


def _too_many(row: Row, first: Cell, known: int) -> Problem:
    message = f"This row has {len(row.cells)} cells, the first line names {known}."
    hint = 'A decimal comma between commas stands in quotes: "0,48".'
    return error("extra-cells", message, first.span, hint)


def _word(cell: Cell) -> Word:
    return Word(cell.text, cell.span)


def _mode(row: Row, columns: Columns, shown: Cell) -> Word | Problem | _NoMode:
    """Return the mode as the notation calls it: as written, or told by the unit."""
    cell = row.at(columns.get("mode"))
    if cell is None:
        mode = _told_by_unit(row, columns, shown)
        return Word(mode, shown.span) if mode else _NoMode(row)
    known = mode_called(cell.text)
    if known:
        return Word(known, cell.span)
    near = nearest(cell.text, mode_names())
    hint = f"Did you mean {near}?" if near else "Write ohms, diode, beep, cap or volts."
    return error("unknown-mode", f"`{cell.text}` is no mode.", cell.span, hint)


def _told_by_unit(row: Row, columns: Columns, shown: Cell) -> Mode | None:
    if shown.text.lower() in _BEEPS:
        return Mode.BEEP
    unit = row.at(columns.get("unit"))
    text = re.sub(r"\s+", "", shown.text + (unit.text if unit else "")).lstrip(">")
    value = parse_any(text)
    return _BY_UNIT.get(value.unit) if value else None


def _ask_modes(found: list[_NoMode]) -> Iterator[Problem]:
    """Ask once for all rows: volts may be a diode test or a live board."""
    if not found:
        return
    rest = f", and so may {len(found) - 1} more" if len(found) > 1 else ""
    message = f"Nothing tells the mode of this row: it may be ohms, a diode test or volts{rest}."
    yield error("no-mode", message, found[0].row.span, "Add a column called mode.")


def _reading(
    row: Row, columns: Columns, said: tuple[Word, Word, Word], shown: Cell
) -> ReadingLine | Problem:
    words = list(_words(shown))
    tails = [k for k, word in enumerate(words) if word.text.lower() in _TAILS]
    stop = tails[0] if tails else len(words)
    unit = row.at(columns.get("unit"))
    if unit and stop == len(words) and words[-1].text[-1:].isdigit():
        words.append(_word(unit))
        stop += 1
    display = tuple(word for word in joined(words[:stop]) if isinstance(word, Word))
    tail = _tail(words[stop:], row.at(columns.get("bench")))
    if isinstance(tail, Problem):
        return tail
    return ReadingLine(row.span, None, *said, tuple(map(_plain, display)), tail)


def _words(cell: Cell) -> Iterator[Word]:
    for found in re.finditer(r">|[^\s>]+", cell.text):
        column = cell.span.column + found.start()
        yield Word(found[0], Span(cell.span.line, column, column + len(found[0])))


def _tail(words: list[Word], bench: Cell | None) -> Tail | Problem:
    """Return how the bench stood: behind the reading, or in a column of its own."""
    text, place = (
        " ".join(word.text for word in words),
        words[0].span if words else None,
    )
    if bench and not words:
        text, place = bench.text, bench.span
    tail, problems = parse_tail(text, place)
    return problems[0] if problems else tail


def _plain(word: Word) -> Word:
    """Return a number as a display has it, where a spreadsheet has powers of ten.

    >>> _plain(Word("2.00E+07", Span(1, 1, 9))).text
    '20.0M'
    """
    found = _POWERED.fullmatch(word.text)
    if not found:
        return word
    number = Decimal(f"{found[1].replace(',', '.')}E{found[2]}")
    exponent = number.as_tuple().exponent
    step = exponent if isinstance(exponent, int) else 0
    size = number.adjusted()
    power, letter = next(
        (p, c) for p, c in ((6, "M"), (3, "k"), (-99, "")) if size >= p
    )
    power = max(power, 0)
    text = f"{number.scaleb(-power):.{max(power - step, 0)}f}{letter}"
    return word._replace(text=text)
