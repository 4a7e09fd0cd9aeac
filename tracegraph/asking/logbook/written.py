"""What a log's file says, before the section is asked what it means."""

from typing import NamedTuple

from tracegraph.diagnostics import Problem
from tracegraph.notation.syntax import PartLine, Statement


class Written(NamedTuple):
    """The lines of a log.

    Attributes:
        statements: Blocks, readings, events and what was taken back, in order.
        problems: What could not be read.
        parts: Part lines, where the file is a whole section.
    """

    statements: tuple[Statement, ...] = ()
    problems: tuple[Problem, ...] = ()
    parts: tuple[PartLine, ...] = ()
