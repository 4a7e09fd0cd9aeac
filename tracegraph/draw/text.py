"""How wide a text is, the same on every machine; and texts that fit where they stand.

Widths are those of the open font that is shipped with the package (`font/`), so that
a label's box does not depend on the fonts of the machine that draws it.
"""

import json
import unicodedata
from collections.abc import Iterator
from functools import cache, lru_cache
from importlib.resources import files
from typing import NamedTuple

ELLIPSIS = "…"
UNKNOWN = "\N{REPLACEMENT CHARACTER}"
MARKS_IN_A_ROW = 2  # more would climb out of the line
JOINERS = "\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"
EMOJI = "\N{VARIATION SELECTOR-16}"  # makes a sign of the letter before it
# Widths in em of what the table lacks, as other fonts draw it; from memory, and ample.
EAST_ASIAN, PICTURE, NEAR, FAR, CALLIGRAM = 1.05, 1.65, 1.5, 2.1, 12.0
CALLIGRAMS = (range(0xFDF0, 0xFE00), range(0x12000, 0x12550))


class Widths(NamedTuple):
    """Advance widths of a font's two weights, by character, in em."""

    plain: dict[str, float]
    bold: dict[str, float]


def width(text: str, size: float, *, bold: bool = False) -> float:
    """Return how wide a text is, in the unit of `size`; never less than it really is.

    Args:
        text: One line.
        size: Height of the letters' em.
        bold: Whether it is bold.
    """
    return _ems(text, bold) * size


def cut(text: str, width: float, size: float, *, bold: bool = False) -> str:
    r"""Return a text in one safe line, shortened with an ellipsis where it is too wide.

    Args:
        text: Any text, hostile ones too.
        width: The room, in the unit of `size`; the result is never wider.
        size: Height of the letters' em.
        bold: Whether it is bold.

    >>> cut("GATE\nDRIVE", 20, 1.0), cut("GATE_DRIVE_LOW_SIDE", 6, 1.0)
    ('GATE DRIVE', 'GATE_DRI…')
    """
    whole = one_line(text)
    if _ems(whole, bold) * size <= width:
        return whole
    short = ""
    for end in _ends(whole):
        tried = whole[:end].rstrip() + ELLIPSIS
        if _ems(tried, bold) * size > width:
            break
        short = tried
    return short


def one_line(text: str) -> str:
    r"""Return a text without anything that breaks its line, turns it or climbs out.

    >>> one_line("A\tB\u202eC"), one_line("e" + "\u0301" * 9) == "é" + "\u0301" * 2
    ('A BC', True)
    """
    seen = "".join(_safe(char) for char in text)
    kept: list[str] = []
    marks = 0
    for char in unicodedata.normalize("NFC", " ".join(seen.split())):
        marks = marks + 1 if unicodedata.category(char) in {"Mn", "Me"} else 0
        if marks <= MARKS_IN_A_ROW:
            kept.append(char)
    return "".join(kept)


def _safe(char: str) -> str:
    """Return what stands for a character on the sheet; nothing for unseen ones."""
    match unicodedata.category(char):
        case "Cc" | "Zl" | "Zp":
            return " "
        case "Cs" | "Co" | "Cn":
            return UNKNOWN
        case "Cf":
            return char if char in JOINERS else ""
        case _:
            return "" if char == EMOJI else char


def _ends(text: str) -> Iterator[int]:
    """Yield where a text may be cut, from the front: never before a mark or a joiner."""
    for end in range(1, len(text)):
        if unicodedata.category(text[end]) not in {"Mn", "Me", "Cf"}:
            yield end


@lru_cache(maxsize=4096)
def _ems(text: str, bold: bool) -> float:  # noqa: FBT001  (cached: takes no keywords)
    """Return the width of a text in em."""
    table = widths().bold if bold else widths().plain
    return sum(table[char] if char in table else _other(char) for char in text)


def _other(char: str) -> float:
    """Return an ample width in em for what the table lacks, whatever font draws it."""
    code = ord(char)
    if any(code in block for block in CALLIGRAMS):
        return CALLIGRAM
    if unicodedata.category(char) in {"Mn", "Cf"} and char != EMOJI:
        return 0.0
    if unicodedata.east_asian_width(char) in {"W", "F"}:
        return PICTURE if code > 0x1F000 or code < 0x2E80 else EAST_ASIAN
    return NEAR if code < 0x1400 else FAR


@cache
def widths() -> Widths:
    """Return the table of widths that is shipped beside the font."""
    path = files("tracegraph.draw") / "font" / "widths.json"
    record = json.loads(path.read_text("ascii"))
    return Widths(*(_spread(record[one], record["em"]) for one in ("plain", "bold")))


def _spread(runs: dict[str, list[int]], em: int) -> dict[str, float]:
    """Return widths by character; a run starts at a code and goes on one by one."""
    return {
        chr(int(start, 16) + k): wide / em
        for start, run in runs.items()
        for k, wide in enumerate(run)
    }
