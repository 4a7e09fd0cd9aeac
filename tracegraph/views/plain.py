"""A page as aligned text, for files, pipes and terminals that can do no better."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from tracegraph.views.letters import spaced, unbroken
from tracegraph.views.page import Block, Entries, Entry, Line, Page, Table, Verbatim

LEAD = 12  # a longer lead stands on a line of its own
LABEL = 7
BETWEEN = "  "


def plain_text(page: Page, width: int = 80) -> str:
    """Return a page as text, `width` columns wide, with a newline at its end."""
    lines = [line.rstrip() for block in page for line in _block(block, width)]
    return spaced("\n".join(lines)) + "\n"


def _block(block: Block, width: int) -> list[str]:
    match block:
        case Line():
            return line_lines(block, width)
        case Entries():
            return [line for one in block.entries for line in entry_lines(one, width)]
        case Table():
            return list(_table(block, width))
        case Verbatim():
            return verbatim_lines(block)


def verbatim_lines(block: Verbatim) -> list[str]:
    """Return text as it stands, moved in."""
    return [" " * block.indent + line for line in block.text.split("\n")]


def line_lines(line: Line, width: int) -> list[str]:
    """Return a paragraph in lines that fit the width."""
    first = " " * line.indent + line.mark
    rest = " " * len(first)
    return _wrapped(line.text, width - len(first), first, rest) or [""]


def _wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Return a text in lines of at most `width`, never torn inside a word."""
    lines = [
        part
        for piece in text.split("\n")
        for part in wrap(
            unbroken(piece),
            max(width, 10),
            break_long_words=False,
            break_on_hyphens=False,
        )
        or [""]
    ]
    return [f"{rest if number else first}{part}" for number, part in enumerate(lines)]


def entry_lines(entry: Entry, width: int) -> Iterator[str]:
    """Yield an entry: its lead and label, and beside them what is said."""
    lead, label = f"  {entry.lead}", entry.label.ljust(LABEL)
    beside = " " * (2 + LEAD + LABEL)
    said = [
        part for one in entry.lines for part in line_lines(one, width - len(beside))
    ]
    first, *rest = said or [""]
    if len(entry.lead) >= LEAD:
        yield lead
        lead = ""
    yield lead.ljust(2 + LEAD) + label + first
    yield from (beside + part for part in rest)


def _table(table: Table, width: int) -> Iterator[str]:
    widths = column_widths((table.head, *table.rows), width - 2)
    yield from _row(table.head, widths)
    yield "  " + BETWEEN.join("-" * one for one in widths)
    for row in table.rows:
        yield from _row(row, widths)
        if table.spaced:
            yield ""


def _row(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    columns = [_wrapped(cell, one) for cell, one in zip(cells, widths, strict=True)]
    for number in range(max(len(column) for column in columns)):
        parts = (column[number] if number < len(column) else "" for column in columns)
        padded = (part.ljust(one) for part, one in zip(parts, widths, strict=True))
        yield "  " + BETWEEN.join(padded)


def column_widths(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    """Return how wide each column may be: the widest give way until the row fits.

    No column gets narrower than its longest word.
    """
    columns = list(zip(*rows, strict=True))
    widths = [max(map(_longest_line, column)) for column in columns]
    least = [max(map(_longest_word, column)) for column in columns]
    room = width - len(BETWEEN) * (len(columns) - 1)
    while sum(widths) > room:
        spare = [have - need for have, need in zip(widths, least, strict=True)]
        if not any(spare):
            break
        widest = max((k for k, one in enumerate(spare) if one), key=lambda k: widths[k])
        widths[widest] -= 1
    return widths


def _longest_line(cell: str) -> int:
    return max(len(line) for line in cell.split("\n"))


def _longest_word(cell: str) -> int:
    return max(
        (len(word) for word in unbroken(cell).split(" ") for word in word.split("\n")),
        default=0,
    )
