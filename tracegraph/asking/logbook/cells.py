"""Rows of a table and their cells, each with its place in the text."""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.notation.source import Source

MARKS = ("\t", ";", ",")
_SAID = re.compile(r'"?sep=(.)"?\s*', re.IGNORECASE)  # what a spreadsheet puts on top


class Cell(NamedTuple):
    """A cell without its quotes and the blanks round it."""

    text: str
    span: Span


class Row(NamedTuple):
    """A row: the number of its line, and its cells."""

    line: int
    cells: tuple[Cell, ...]

    @property
    def span(self) -> Span:
        """The place of the whole row."""
        return Span(self.line, self.cells[0].span.column, self.cells[-1].span.end)

    def at(self, place: int | None) -> Cell | None:
        """Return a cell that is there and is not empty."""
        if place is None or place >= len(self.cells):
            return None
        return self.cells[place] if self.cells[place].text else None


def rows(source: Source) -> Iterator[Row]:
    """Yield the rows that say something: no empty ones, no remarks."""
    mark = _mark(source)
    for number, line in _lines(source):
        if not _SAID.fullmatch(line):
            row = Row(number, tuple(_cells(line, number, mark)))
            if any(cell.text for cell in row.cells):
                yield row


def _lines(source: Source) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(source.text.split("\n"), 1):
        if line.strip() and not line.lstrip().startswith(("#", '"#')):
            yield number, line


def _mark(source: Source) -> str:
    """Return what parts the cells: as the file says, else the one its head has most."""
    first = next((line for _, line in _lines(source)), "")
    said = _SAID.fullmatch(first)
    if said:
        return said[1]
    plain = re.sub(r'"[^"]*"', "", first)
    return max(MARKS, key=plain.count)


@lru_cache
def _shape(mark: str) -> re.Pattern[str]:
    own = re.escape(mark)
    quoted = rf'[ ]*"(?P<quoted>(?:[^"]|"")*)"[ ]*(?={own}|$)'
    return re.compile(rf"{quoted}|(?P<plain>[^{own}]*)")


def _cells(line: str, number: int, mark: str) -> Iterator[Cell]:
    start = 0
    while start <= len(line):
        found = _shape(mark).match(line, start)
        if found is None:
            return
        which = "plain" if found["quoted"] is None else "quoted"
        yield _cell(found[which], found.start(which), number)
        start = found.end() + 1


def _cell(text: str, start: int, number: int) -> Cell:
    begin = start + len(text) - len(text.lstrip())
    end = start + len(text.rstrip())
    span = Span(number, begin + 1, max(end, begin) + 1)
    return Cell(text.strip().replace('""', '"'), span)
