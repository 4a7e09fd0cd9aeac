"""A wave drawn with letters, for a terminal that has nothing better."""

from collections.abc import Sequence
from typing import NamedTuple

from tracegraph.display import show, volts
from tracegraph.views.letters import plain_letters
from tracegraph.waves.result import Trace
from tracegraph.waves.windows import Window, column_spans

MARGIN = 9  # columns for the volts at the left


class Marked(NamedTuple):
    """A trace and the letter that it is drawn with."""

    trace: Trace
    mark: str


def plot(
    traces: Sequence[Marked], window: Window, columns: int, rows: int
) -> list[str]:
    """Return a plot: rows of text, and the times under it.

    Args:
        traces: What is drawn, the last over the others.
        window: From when to when.
        columns: Its width, margin and all.
        rows: Its height without the times.
    """
    inner = columns - MARGIN
    low = min(float(one.trace.volts.min()) for one in traces)
    high = max(float(one.trace.volts.max()) for one in traces)
    span = (high - low) or 1.0
    table = [[" "] * inner for _ in range(rows)]
    for trace, mark in traces:
        under, over = column_spans(trace, window.begin, window.end, inner)
        for column in range(inner):
            first = _row(float(over[column]), low, span, rows)
            last = _row(float(under[column]), low, span, rows)
            for row in range(first, last + 1):
                table[row][column] = mark
    names = {0: volts(high), rows - 1: volts(low)}
    lines = [
        f"{plain_letters(names.get(k, '')):>{MARGIN - 2}} |{''.join(line)}"
        for k, line in enumerate(table)
    ]
    return [*lines, *_foot(window, inner)]


def _row(volts: float, low: float, span: float, rows: int) -> int:
    share = (volts - low) / span
    return min(max(round((1 - share) * (rows - 1)), 0), rows - 1)


def _foot(window: Window, inner: int) -> list[str]:
    begin = plain_letters(show(window.begin, "s"))
    end = plain_letters(show(window.end, "s"))
    edge = " " * (MARGIN - 1)
    return [
        f"{edge}+{'-' * inner}",
        f"{edge} {begin}{end:>{max(inner - len(begin), 1)}}",
    ]


def beside(left: Sequence[str], right: Sequence[str], columns: int) -> list[str]:
    """Return two plots of one height beside each other."""
    return [
        f"{one:<{columns}} {other}".rstrip()
        for one, other in zip(left, right, strict=True)
    ]
