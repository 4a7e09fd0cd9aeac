"""What stands under the picture: every layer's title, its marks and its words."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tracegraph.draw.drawing import Drawn, Noted
from tracegraph.draw.overlay import Overlay, Role
from tracegraph.draw.shapes import Shape, Text, Tone
from tracegraph.draw.symbols.badges import badge
from tracegraph.draw.text import cut, width
from tracegraph.draw.words import TOUCHED

LINE, CLOSE = 2.0, 1.6
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
    heed: Sequence[str],
    overlays: Sequence[Overlay],
    notes: Sequence[Noted],
    drawn: Sequence[Drawn],
    paper: tuple[float, float],
) -> Legend:
    """Return what stands under a picture.

    Args:
        heed: What to heed before probing.
        overlays: Its layers.
        notes: The marks on this sheet.
        drawn: The parts on this sheet.
        paper: How wide the sheet is, and where the first line may begin.
    """
    room, top = paper
    shapes: list[Text | Shape] = []
    y = top + LINE / 2
    for words in heed:
        y = _told(shapes, f"CAUTION: {words}", y, room, Tone.INK)
    if any(TOUCHED in text.text for one in drawn for text in one.texts):
        y = _told(shapes, f"{TOUCHED}  resoldered by somebody", y, room)
    for layer, overlay in enumerate(overlays):
        y = _titled(
            shapes, overlay.title, _roles(notes, drawn, layer, overlay), y, room
        )
        for line in overlay.legend:
            y = _told(shapes, line, y, room)
    return Legend(tuple(shapes), y - top - LINE / 2 if shapes else 0.0)


def _roles(
    notes: Sequence[Noted], drawn: Sequence[Drawn], layer: int, overlay: Overlay
) -> tuple[Role, ...]:
    """Return the roles whose badge a layer shows on this sheet."""
    shown = {note.role for note in notes if note.layer == layer and note.over}
    if overlay.ghosts and any(one.status == "ghost" for one in drawn):
        shown.add(Role.ABSENT)
    return tuple(role for role in Role if role in shown)


def _told(
    shapes: list[Text | Shape],
    text: str,
    y: float,
    room: float,
    tone: Tone = Tone.FAINT,
) -> float:
    """Write a text on as many lines as it takes; return where the next line stands."""
    for line in _lines(text, room - 2 * INDENT):
        shapes.append(Text((INDENT, y), line, SIZE, tone=tone))
        y += CLOSE
    return y + LINE - CLOSE


def _lines(text: str, room: float) -> Iterator[str]:
    """Yield a text in lines that fit; a word that is too long by itself is cut."""
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and width(longer, SIZE) > room:
            yield line
            longer = word
        line = cut(longer, room, SIZE)
    yield line


def _titled(
    shapes: list[Text | Shape], title: str, roles: Sequence[Role], y: float, room: float
) -> float:
    """Write a layer's title and its badges, on more lines where they don't fit."""
    short = cut(title, room - 2 * INDENT, SIZE, bold=True)
    shapes.append(Text((INDENT, y), short, SIZE, bold=True))
    x = INDENT + width(short, SIZE, bold=True) + 2
    for role in roles:
        wide = width(WORDS[role], SIZE)
        if x + 2.5 + wide + INDENT > room:
            x, y = 2 * INDENT, y + LINE
        shapes += badge(role, (x + 1.0, y))
        shapes.append(Text((x + 2.5, y), WORDS[role], SIZE, tone=Tone.FAINT))
        x += wide + 4.5
    return y + LINE
