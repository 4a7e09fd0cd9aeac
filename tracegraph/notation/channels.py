"""Channels open and close in pairs: what is missing is said, and put in."""

from collections.abc import Iterable, Iterator

from tracegraph.diagnostics import Problem, error
from tracegraph.notation.lines import Line
from tracegraph.notation.syntax import ChannelLine, EndLine, Statement

Outcome = Statement | Problem


def balanced(outcomes: Iterable[tuple[Line, Outcome]]) -> Iterator[Outcome]:
    """Yield statements and problems, with every `channel` closed by one `end`.

    A missing `end` is put in where the next channel or the end of the text shows that
    it is missing, so that what follows is not taken for a part of the channel. The
    `end` of a channel whose first line could not be read goes with that line.
    """
    opened: ChannelLine | None = None
    lost = False
    for line, outcome in outcomes:
        match outcome:
            case ChannelLine():
                yield from _missing(opened)
                opened, lost = outcome, False
                yield outcome
            case EndLine() if opened is None:
                yield from () if lost else (_extra(outcome),)
                lost = False
            case EndLine():
                opened = None
                yield outcome
            case _:
                lost = lost or _lost(line, outcome)
                yield outcome
    yield from _missing(opened)


def _lost(line: Line, outcome: Outcome) -> bool:
    """Whether this was to open a channel and could not be read."""
    words = line.plain.split()
    opens = words[0] == "channel" and "like" not in words
    return opens and isinstance(outcome, Problem)


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
