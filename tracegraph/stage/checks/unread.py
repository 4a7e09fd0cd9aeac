"""What stood on lines that could not be read: checks must not ask about that again."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from tracegraph.diagnostics import Problem, Severity
from tracegraph.notation.source import Source
from tracegraph.stage.part import Part


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
