"""A page at a terminal, with rich: weight and colour, tables with rules."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rich import box
from rich.table import Table as RichTable
from rich.text import Text

from tracegraph.views.letters import spaced, unbroken
from tracegraph.views.page import (
    Block,
    Entries,
    Entry,
    Line,
    Page,
    Table,
    Tone,
    Verbatim,
)
from tracegraph.views.plain import entry_lines, line_lines, verbatim_lines

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

STYLES = {
    Tone.PLAIN: "",
    Tone.TITLE: "bold",
    Tone.CAUTION: "bold magenta",
    Tone.ASK: "magenta",
    Tone.FAINT: "dim",
}
DISPLAY = "bold cyan"


def show_page(page: Page, console: "Console") -> None:
    """Write a page to a rich console."""
    for block in page:
        for piece in _block(block, console.width):
            console.print(piece, soft_wrap=not isinstance(piece, RichTable))


def _block(block: Block, width: int) -> "Iterator[RenderableType]":
    match block:
        case Line():
            text = "\n".join(line_lines(block, width))
            yield Text(spaced(text), STYLES[block.tone])
        case Entries():
            yield from (_entry(one, width) for one in block.entries)
        case Table():
            yield _table(block)
        case Verbatim():
            yield Text("\n".join(verbatim_lines(block)))


def _entry(entry: Entry, width: int) -> Text:
    """Return an entry with its lead in weight."""
    text = Text(spaced("\n".join(entry_lines(entry, width))))
    text.stylize(DISPLAY, 2, 2 + len(entry.lead))
    return text


def _table(table: Table) -> RichTable:
    drawn = RichTable(box=box.SIMPLE_HEAD, show_lines=table.spaced, pad_edge=False)
    for head in table.head:
        drawn.add_column(Text(head), overflow="fold")
    for row in table.rows:
        drawn.add_row(*(Text(unbroken(cell)) for cell in row))
    return drawn
