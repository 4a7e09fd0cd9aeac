"""A page at a terminal, with rich: weight and colour, tables with rules."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rich import box
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from tracegraph.views.letters import unbroken
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
from tracegraph.views.plain import LEAD

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
        for piece in _block(block):
            console.print(piece)


def _block(block: Block) -> "Iterator[RenderableType]":
    match block:
        case Line():
            yield _line(block)
        case Entries():
            yield from (_entry(one) for one in block.entries)
        case Table():
            yield _table(block)
        case Verbatim():
            text = Text(block.text, no_wrap=True, overflow="ignore")
            yield Padding(text, (0, 0, 0, block.indent))


def _line(line: Line) -> "RenderableType":
    style = STYLES[line.tone]
    if not line.mark:
        return Padding(Text(unbroken(line.text), style), (0, 0, 0, line.indent))
    hanging = RichTable.grid()
    hanging.add_column(no_wrap=True)
    hanging.add_column()
    hanging.add_row(Text(line.mark, style), Text(unbroken(line.text), style))
    return Padding(hanging, (0, 0, 0, line.indent))


def _entry(entry: Entry) -> "RenderableType":
    """Return an entry: its lead in weight, what is said of it hanging beside."""
    grid = RichTable.grid()
    lead, said = Text(entry.lead, DISPLAY), [_line(line) for line in entry.lines]
    if len(entry.lead) >= LEAD:
        grid.add_row(lead)
        grid.add_row(Padding(_stacked(said), (0, 0, 0, LEAD)))
    else:
        grid.add_column(width=LEAD)
        grid.add_column()
        grid.add_row(lead, _stacked(said))
    return Padding(grid, (0, 0, 0, 2))


def _stacked(lines: "list[RenderableType]") -> RichTable:
    stack = RichTable.grid()
    for line in lines:
        stack.add_row(line)
    return stack


def _table(table: Table) -> RichTable:
    drawn = RichTable(box=box.SIMPLE_HEAD, show_lines=table.spaced, pad_edge=False)
    for head in table.head:
        drawn.add_column(Text(head), overflow="fold")
    for row in table.rows:
        drawn.add_row(*(Text(unbroken(cell)) for cell in row))
    return drawn
