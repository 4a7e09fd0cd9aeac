"""The text behind a check: where a net stands, and what stood on lines left out."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from tracegraph.diagnostics import Problem, Severity, Span
from tracegraph.notation.source import Source
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage


def place_of(stage: Stage, part: Part, net: str) -> Span | None:
    """Return where a net is written on a part's line, else where the part is."""
    at = part.placed
    if at is None or stage.source is None or part.placed != part.written:
        return at
    line = stage.source.line(at.line)
    word = re.compile(rf"(?<![^\s=,\"]){re.escape(net)}(?![^\s,\"])", re.IGNORECASE)
    found = word.search(line, at.column - 1) or word.search(line)
    return Span(at.line, found.start() + 1, found.end() + 1) if found else at


class Unread(NamedTuple):
    """Lines with errors.

    Attributes:
        lines: Their numbers.
        words: Their words in lower case; nets may be among them.
    """

    lines: frozenset[int] = frozenset()
    words: frozenset[str] = frozenset()

    def has(self, net: str) -> bool:
        """Return whether a net is named on such a line."""
        return net.lower() in self.words

    def placed(self, part: Part) -> bool:
        """Return whether a part was placed by such a line."""
        return part.placed is not None and part.placed.line in self.lines


def unread(problems: Iterable[Problem], source: Source) -> Unread:
    """Return what stands on the lines that cost an error."""
    errors = (one for one in problems if one.severity is Severity.ERROR and one.span)
    lines = frozenset(one.span.line for one in errors if one.span)
    words = (re.split(r'[\s=,"]+', source.line(line).lower()) for line in lines)
    return Unread(lines, frozenset(word for some in words for word in some))
