"""A page before it is known where it goes: lines, entries and tables as plain data.

Every view for people returns one; `plain` and `console` write it out, so that a
terminal and a file hold the same words.
"""

from collections.abc import Callable
from enum import StrEnum
from typing import NamedTuple


class Tone(StrEnum):
    """How loud a line is; a writer without colour shows all alike."""

    PLAIN = "plain"
    TITLE = "title"
    CAUTION = "caution"
    ASK = "ask"
    FAINT = "faint"


class Line(NamedTuple):
    """One paragraph, wrapped where needed.

    Attributes:
        text: What it says; empty for an empty line.
        tone: How loud.
        indent: Spaces before it.
        mark: Stands before the first line only; the others hang under the text.
    """

    text: str = ""
    tone: Tone = Tone.PLAIN
    indent: int = 0
    mark: str = ""


class Entry(NamedTuple):
    """A lead that catches the eye, and what is said of it beside.

    Attributes:
        lead: Such as a display.
        label: A short word beside it, such as a mode.
        lines: What is said of it.
    """

    lead: str
    label: str
    lines: tuple[Line, ...]


class Entries(NamedTuple):
    """Entries whose leads stand in one column."""

    entries: tuple[Entry, ...]


class Table(NamedTuple):
    """A table; a cell may hold several lines.

    Attributes:
        head: Column heads.
        rows: Cells, row by row.
        spaced: Whether rows stand apart, as on paper to write on.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    spaced: bool = False


class Verbatim(NamedTuple):
    """Text whose lines and spaces stand as they are, such as a marked line."""

    text: str
    indent: int = 0


Block = Line | Entries | Table | Verbatim
Page = tuple[Block, ...]

GAP = Line()


def title(text: str) -> Line:
    """Return a heading."""
    return Line(text, Tone.TITLE)


def caution(text: str) -> Line:
    """Return what a person must heed before doing anything."""
    return Line(text, Tone.CAUTION, mark="CAUTION: ")


def respelt(page: Page, spell: Callable[[str], str]) -> Page:
    """Return a page in other letters; before it is laid out, for they may be longer."""
    return tuple(_respelt(block, spell) for block in page)


def _respelt(block: Block, spell: Callable[[str], str]) -> Block:
    match block:
        case Line():
            return block._replace(text=spell(block.text), mark=spell(block.mark))
        case Entries(entries):
            return Entries(tuple(_respelt_entry(one, spell) for one in entries))
        case Table():
            head = tuple(map(spell, block.head))
            rows = tuple(tuple(map(spell, row)) for row in block.rows)
            return block._replace(head=head, rows=rows)
        case Verbatim():
            return block._replace(text=spell(block.text))


def _respelt_entry(entry: Entry, spell: Callable[[str], str]) -> Entry:
    lines = tuple(
        line._replace(text=spell(line.text), mark=spell(line.mark))
        for line in entry.lines
    )
    return Entry(spell(entry.lead), spell(entry.label), lines)
