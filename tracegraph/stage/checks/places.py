"""Where in the text a part's net stands, for messages."""

import re

from tracegraph.diagnostics import Span
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
