"""What stands under the picture: every layer's title, its marks and its words."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tracegraph.draw.drawing import Drawn, Noted
from tracegraph.draw.overlay import Overlay, Role
from tracegraph.draw.shapes import Shape, Text, Tone
from tracegraph.draw.symbols.badges import badge
from tracegraph.draw.text import cut, width
from tracegraph.draw.words import TOUCHED

LINE = 2.0
SIZE = 1.1
INDENT = 2.0

WORDS = {
    Role.ABSENT: "missing here",
    Role.EXTRA: "not in the reference",
    Role.DIFFERS: "differs",
    Role.BRIDGED: "joined, should not be",
    Role.BROKEN: "parted",
    Role.SUSPECT: "suspect, by rank",
    Role.LEVEL: "level",
    Role.READING: "reading",
    Role.NOTE: "note",
}


class Legend(NamedTuple):
    """The lines under a picture.

    Attributes:
        shapes: Badges and texts.
        height: How many units they take.
    """

    shapes: tuple[Text | Shape, ...]
    height: float


def legend(
    overlays: Sequence[Overlay],
    notes: Sequence[Noted],
    drawn: Sequence[Drawn],
    top: float,
    room: float,
) -> Legend:
    """Return what stands under a picture.

    Args:
        overlays: Its layers.
        notes: The marks on this sheet.
        drawn: The parts on this sheet.
        top: Where the first line may begin.
        room: How wide the sheet is.
    """
    shapes: list[Text | Shape] = []
    y = top + LINE / 2
    for row in _rows(overlays, notes, drawn):
        shapes += _placed(row, y, room)
        y += LINE
    return Legend(tuple(shapes), y - top - LINE / 2 if shapes else 0.0)


Row = tuple[str, tuple[Role, ...], bool]
"""What a line says, the badges that are explained on it, and whether it is bold."""


def _rows(
    overlays: Sequence[Overlay], notes: Sequence[Noted], drawn: Sequence[Drawn]
) -> Iterator[Row]:
    if any(TOUCHED in text.text for one in drawn for text in one.texts):
        yield f"{TOUCHED}  resoldered by somebody", (), False
    for layer, overlay in enumerate(overlays):
        yield overlay.title, _roles(notes, drawn, layer, overlay), True
        for line in overlay.legend:
            yield line, (), False


def _roles(
    notes: Sequence[Noted], drawn: Sequence[Drawn], layer: int, overlay: Overlay
) -> tuple[Role, ...]:
    """Return the roles whose badge a layer shows on this sheet."""
    shown = {note.role for note in notes if note.layer == layer and note.over}
    if overlay.ghosts and any(one.status == "ghost" for one in drawn):
        shown.add(Role.ABSENT)
    return tuple(role for role in Role if role in shown)


def _placed(row: Row, y: float, room: float) -> Iterator[Text | Shape]:
    told, roles, bold = row
    x = INDENT
    short = cut(told, room - 2 * INDENT, SIZE, bold=bold)
    tone = Tone.INK if bold else Tone.FAINT
    yield Text((x, y), short, SIZE, bold=bold, tone=tone)
    x += width(short, SIZE, bold=bold) + 2
    for role in roles:
        wide = width(WORDS[role], SIZE)
        if x + wide + 4 > room:
            return
        yield from badge(role, (x + 1.0, y))
        yield Text((x + 2.5, y), WORDS[role], SIZE, tone=Tone.FAINT)
        x += wide + 4.5
