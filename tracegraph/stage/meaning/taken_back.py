"""`undo`: readings and events that were taken back are as though never written."""

from collections.abc import Iterable

from tracegraph.notation.syntax import EventLine, ReadingLine, UndoLine, Word
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.lines import Line


def without_taken_back(desk: Desk, lines: Iterable[Line]) -> list[Line]:
    """Return the lines without those that an `undo` behind them takes back.

    Each `undo` takes back the last reading or event that none has taken back before;
    the titles of blocks stay.
    """
    kept: list[Line] = []
    for line in lines:
        if not isinstance(line.statement, UndoLine):
            kept.append(line)
        elif (last := _last(kept)) is not None:
            del kept[last]
        else:
            message = "No reading or event stands above that could be taken back."
            word = Word("undo", line.statement.span)
            desk.error("nothing-to-undo", message, word, "Leave the line out.")
    return kept


def _last(lines: list[Line]) -> int | None:
    """Return which line is the last reading or event."""
    places = range(len(lines) - 1, -1, -1)
    wanted = (ReadingLine, EventLine)
    return next((k for k in places if isinstance(lines[k].statement, wanted)), None)
