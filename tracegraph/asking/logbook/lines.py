"""A log in the notation: blocks, readings and events; or a whole section's."""

from tracegraph.asking.logbook.written import Written
from tracegraph.diagnostics import Problem, doubt, error
from tracegraph.notation.parser import parse
from tracegraph.notation.source import Source
from tracegraph.notation.syntax import (
    ChainLine,
    ChannelLine,
    EndLine,
    EventLine,
    GroundLine,
    JoinsLine,
    MeterLine,
    NoteLine,
    PartLine,
    RangeLine,
    ReadingLine,
    ReadingsLine,
    Statement,
    Titled,
    UndoLine,
)

_LOG = (ReadingsLine, ReadingLine, EventLine, UndoLine)
_NAMED = (MeterLine, ChannelLine, EndLine)  # of what stands below them
_BESIDE = (NoteLine, RangeLine, *_NAMED)
_OPENS = (Titled, GroundLine)  # no log has these, every section has one of them
_BOARD = (PartLine, ChainLine, JoinsLine)
_ENOUGH = 3  # lines of a board that are no stray ones


def read_lines(source: Source) -> Written:
    """Return the log that a text in the notation holds."""
    parsed = parse(source)
    parts = tuple(one for one in parsed.statements if isinstance(one, PartLine))
    if _is_section(parsed.statements):
        own = tuple(one for one in parsed.statements if isinstance(one, _LOG))
        return Written(own, _behind(parsed.problems, own), parts)
    stray = (one for one in parsed.statements if not isinstance(one, (*_LOG, *_BESIDE)))
    ranges = (one for one in parsed.statements if isinstance(one, RangeLine))
    problems = (*parsed.problems, *map(_stray, stray), *map(_no_range, ranges))
    told = (one for one in parsed.statements if isinstance(one, (*_LOG, *_NAMED)))
    return Written(tuple(told), problems)


def _is_section(statements: tuple[Statement, ...]) -> bool:
    """Return whether lines describe a board, not only what was read on it."""
    board = sum(isinstance(one, _BOARD) for one in statements)
    opened = any(isinstance(one, _OPENS) for one in statements)
    return opened or board >= _ENOUGH


def _behind(
    problems: tuple[Problem, ...], told: tuple[Statement, ...]
) -> tuple[Problem, ...]:
    """Return the problems of the log alone: what stands behind its first line."""
    first = told[0].span.line if told else 0
    return tuple(
        one for one in problems if first and one.span and one.span.line > first
    )


def _stray(line: Statement) -> Problem:
    message = (
        "A log holds readings and what was done between them; this is no such line."
    )
    hint = "Write it in the section's own file."
    return error("not-a-reading", message, line.span, hint)


def _no_range(line: RangeLine) -> Problem:
    message = "What a meter can do is not read from a log."
    hint = "Keep meters in a file of their own beside the section."
    return doubt("meter-in-log", message, line.span, hint)
