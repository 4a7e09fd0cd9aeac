"""The lines of a text, and the slips that show before a line is read."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from tracegraph.diagnostics import Problem, Span, error
from tracegraph.notation.source import Source

_SMALL = {code: code + 32 for code in range(ord("A"), ord("Z") + 1)}
_QUOTES = dict.fromkeys(map(ord, "“”„‟"), '"')
_SIGNS = {0x2126: "Ω", 0x03BC: "µ"}  # the other code points of ohm and micro
_PLAIN: dict[int, int | str] = {**_SMALL, **_QUOTES, **_SIGNS}

_PIECE = re.compile(r'"[^"]*"|(?<!\S)#.*|[^\s"]+|"')
_ARROW = re.compile(r"<?-+>|<-+|--+|[–—→←]")
ARROWS = frozenset(("--", "->", "<-", *"–—→←"))
_MEANT = {"–": "--", "—": "--", "→": "->", "←": "<-"}
_REMARKS = ("(", "[", "{", ";", "//", "/*")


class Line(NamedTuple):
    """One written line.

    Attributes:
        number: Its number, counted from 1.
        text: The line as written.
        plain: The same in small letters and with straight quotes, each character in
            its place: this is what the grammar reads.
    """

    number: int
    text: str
    plain: str

    def span(self, start: int, end: int) -> Span:
        """Return the place of the characters from `start` up to `end`."""
        return Span(self.number, start + 1, end + 1)


def line_of(text: str, number: int = 1) -> Line:
    """Return a text without line ends as a line."""
    return Line(number, text, text.translate(_PLAIN))


def written(source: Source) -> Iterator[Line]:
    """Yield the lines that say something: no empty ones, no remarks."""
    for number, text in enumerate(source.text.split("\n"), 1):
        start = text.lstrip()
        if start and not start.startswith("#"):
            yield line_of(text, number)


def pieces(line: Line) -> Iterator[re.Match[str]]:
    """Yield the words and quoted texts of a line, and a quote that never closes."""
    for piece in _PIECE.finditer(line.plain):
        if not _is_remark(line, piece):
            yield piece


def _is_remark(line: Line, piece: re.Match[str]) -> bool:
    """Whether a piece is a remark: `#` at the start of the line or behind a blank."""
    before = line.plain[: piece.start()][-1:]
    return piece[0].startswith("#") and (not before or before.isspace())


def slip(line: Line) -> Problem | None:
    """Return what is wrong with a line before its words are looked at, or None."""
    for piece in pieces(line):
        word = piece[0]
        if word == '"':
            return _open_quote(line, piece)
        if word.startswith(_REMARKS):
            return _stray_remark(line, piece)
        if not word.startswith('"') and word not in ARROWS and _ARROW.search(word):
            return _glued_arrow(line, piece)
    return None


def _open_quote(line: Line, piece: re.Match[str]) -> Problem:
    said = line.text[piece.end() :].strip()
    return error(
        "open-quote",
        "this quote is never closed",
        line.span(piece.start(), len(line.text.rstrip())),
        f'close it: "{said}"',
    )


def _stray_remark(line: Line, piece: re.Match[str]) -> Problem:
    said = line.text[piece.start() :].strip(" \t()[]{};/*")
    shown = line.text[piece.start() : piece.end()]
    return error(
        "stray-remark",
        f"`{shown}` is no part of a line",
        line.span(piece.start(), piece.end()),
        f'a remark stands after #, or in note "{said}"',
    )


def _glued_arrow(line: Line, piece: re.Match[str]) -> Problem:
    found = _ARROW.search(piece[0])
    arrow = found[0] if found else ""
    shown = line.text[piece.start() : piece.end()]
    place = line.span(piece.start(), piece.end())
    hint = f"write: {_spaced(line)}"
    if arrow in ARROWS:
        message = f"`{shown}` has no spaces round its `{arrow}`"
        return error("glued-arrow", message, place, hint)
    return error("odd-arrow", f"`{arrow}` is no arrow that is known", place, hint)


def _tidy(arrow: str) -> str:
    """Return the arrow that was meant by a longer, two-headed or printed one."""
    if arrow in _MEANT:
        return _MEANT[arrow]
    if arrow.startswith("<") == arrow.endswith(">"):
        return "--"
    return "<-" if arrow.startswith("<") else "->"


def _spaced(line: Line) -> str:
    """Return what the line says, with spaces round its arrows."""
    said = (line.text[piece.start() : piece.end()] for piece in pieces(line))
    apart = (
        word
        if word.startswith(('"', "“", "„"))
        else _ARROW.sub(lambda arrow: f" {_tidy(arrow[0])} ", word)
        for word in said
    )
    return " ".join(" ".join(apart).split())
