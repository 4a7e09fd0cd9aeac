"""Every line with its sister channel; the lines of a like channel written out."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
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
from tracegraph.stage.meaning.desk import Desk


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


@dataclass
class Channels:
    """Channels opened so far, by name in lower case."""

    opened: dict[str, Word]
    now: Word | None = None


def in_channels(desk: Desk, statements: Iterable[Statement]) -> list[Line]:
    """Return the lines, each with its channel; `like` lines stay as they are."""
    channels = Channels({})
    lines = list(_walk(desk, channels, statements))
    if channels.now:
        message = f"Channel {channels.now.text} has no end."
        hint = "Write `end` behind its last line."
        desk.error("channel-without-end", message, channels.now, hint)
    return lines


def _walk(
    desk: Desk, channels: Channels, statements: Iterable[Statement]
) -> Iterator[Line]:
    for statement in statements:
        match statement:
            case ChannelLine(name=name):
                _open(desk, channels, name)
            case EndLine(span=span):
                _close(desk, channels, Word("end", span))
            case LikeLine():
                yield Line(statement)
            case _ if channels.now:
                own = channels.opened[channels.now.text.lower()]
                yield Line(statement, own.text)
            case _:
                yield Line(statement)


def _open(desk: Desk, channels: Channels, name: Word) -> None:
    if channels.now:
        message = f"Channel {channels.now.text} is still open here."
        desk.error(
            "channel-without-end", message, name, "Write `end` before this line."
        )
        desk.relate(channels.now.span, "opened here")
    channels.opened.setdefault(name.text.lower(), name)
    channels.now = name


def _close(desk: Desk, channels: Channels, word: Word) -> None:
    if channels.now is None:
        message = "No channel is open here."
        hint = "`end` closes the lines behind `channel U`."
        desk.error("end-without-channel", message, word, hint)
    channels.now = None
