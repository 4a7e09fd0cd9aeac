"""The sheet to take to the bench: pairs, what they should read, boxes to write in."""

from collections.abc import Sequence

from tracegraph.meter.expected import Expected
from tracegraph.meter.sheet import SheetRow
from tracegraph.views.expected_page import MODES
from tracegraph.views.page import GAP, Line, Page, Table, Tone, caution, title
from tracegraph.views.words import standing

BOX = "[      ]"
HEAD = ("a", "b", "mode", "red on a", "read", "red on b", "read", "for")


def sheet_page(
    heading: str, rows: Sequence[SheetRow], cautions: Sequence[str] = ()
) -> Page:
    """Return the sheet as a table to print, one row a pair.

    Args:
        heading: What the section is called.
        rows: The readings, in the order to take them.
        cautions: What to heed before probing.
    """
    if not rows:
        return (title(heading), Line("There is nothing here worth probing."))
    first = rows[0].forward
    return (
        title(heading),
        Line(standing(first.condition, first.meter), Tone.FAINT),
        *map(caution, cautions),
        *_rests(rows),
        GAP,
        Table(HEAD, tuple(_row(row) for row in rows), spaced=True),
    )


def _rests(rows: Sequence[SheetRow]) -> tuple[Line, ...]:
    first = next((row.forward for row in rows if row.why == "rest"), None)
    if first is None:
        return ()
    words = (
        "Take the `rest` rows first, write each into the file "
        f"(`rest {first.red} -- {first.black} ...`) and print the sheet again: the "
        "other rows depend on them."
    )
    return (Line(words, Tone.ASK),)


def _row(row: SheetRow) -> tuple[str, ...]:
    there, back = row.forward, row.backward
    pair = (there.red, there.black, MODES[there.mode])
    return (*pair, _cell(there), BOX, _cell(back), BOX, row.why)


def _cell(one: Expected) -> str:
    return "no answer" if one.error else one.display
