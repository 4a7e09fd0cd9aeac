"""Channels open and close in pairs: what is missing is said, and put in."""

from collections.abc import Iterable, Iterator

from tracegraph.diagnostics import Problem, error
from tracegraph.notation.syntax import ChannelLine, EndLine, Statement

Outcome = Statement | Problem


def balanced(outcomes: Iterable[Outcome]) -> Iterator[Outcome]:
    """Yield statements and problems, with every `channel` closed by one `end`.

    A missing `end` is put in where the next channel or the end of the text shows that
    it is missing, so that what follows is not taken for a part of the channel.
    """
    opened: ChannelLine | None = None
    for outcome in outcomes:
        match outcome:
            case ChannelLine():
                yield from _missing(opened)
                opened = outcome
                yield outcome
            case EndLine() if opened is None:
                yield _extra(outcome)
            case EndLine():
                opened = None
                yield outcome
            case _:
                yield outcome
    yield from _missing(opened)


def _missing(opened: ChannelLine | None) -> Iterator[Outcome]:
    if opened is not None:
        name = opened.name.text
        yield EndLine(opened.span, None)
        yield error(
            "missing-end-line",
            f"channel {name} is never closed",
            opened.span,
            f"write end behind the last line of channel {name}",
        )


def _extra(end: EndLine) -> Problem:
    return error(
        "extra-end-line",
        "no channel is open that this could close",
        end.span,
        "leave it out: a channel that is like another needs no end",
    )
