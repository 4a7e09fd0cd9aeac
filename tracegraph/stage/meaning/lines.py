"""Every line with its sister channel; the lines of a like channel written out."""

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.notation.syntax import (
    ChannelLine,
    EndLine,
    LikeLine,
    Statement,
    Word,
)


class Line(NamedTuple):
    """A statement and the channel it stands in.

    Attributes:
        statement: What was written.
        channel: Name of its sister channel, or empty.
        placed: The `like` line that put it here; None where it was written here.
        excepts: Words that a `like` line gives its parts instead, by designator.
    """

    statement: Statement
    channel: str = ""
    placed: Span | None = None
    excepts: Mapping[str, tuple[Word, ...]] = MappingProxyType({})


def in_channels(statements: Iterable[Statement]) -> list[Line]:
    """Return the lines, each with its channel; `like` lines stay as they are."""
    return list(_walk(statements))


def _walk(statements: Iterable[Statement]) -> Iterator[Line]:
    spellings: dict[str, str] = {}
    now = ""
    for statement in statements:
        match statement:
            case ChannelLine(name=name):
                now = spellings.setdefault(name.text.lower(), name.text)
                yield Line(statement, now)
            case EndLine():
                now = ""
            case LikeLine():
                yield Line(statement)
            case _:
                yield Line(statement, now)
