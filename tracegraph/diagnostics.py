"""What is wrong with a text, as plain data; `views` writes it out."""

from enum import StrEnum
from typing import NamedTuple


class Span(NamedTuple):
    """A place in a source text: lines and columns count from 1, `end` is exclusive."""

    line: int
    column: int
    end: int


class Severity(StrEnum):
    """An error leaves its line out of the section; a doubt keeps it and asks."""

    ERROR = "error"
    DOUBT = "doubt"


class Label(NamedTuple):
    """A second place that a problem speaks of, with the fact found there."""

    span: Span
    text: str


class Problem(NamedTuple):
    """One thing that the reader of the text should know.

    Attributes:
        code: Stable short name, such as `unknown-kind`.
        severity: Whether the line was left out or only doubted.
        message: One sentence in the trade's words.
        span: The place; None where the whole file is meant.
        hint: What was probably meant, or the one thing to do; may be empty.
        related: Other places that the message speaks of.
    """

    code: str
    severity: Severity
    message: str
    span: Span | None = None
    hint: str = ""
    related: tuple[Label, ...] = ()


def error(code: str, message: str, span: Span | None, hint: str = "") -> Problem:
    """Return a problem that costs its line."""
    return Problem(code, Severity.ERROR, message, span, hint)


def doubt(code: str, message: str, span: Span | None, hint: str = "") -> Problem:
    """Return a problem that asks but keeps its line."""
    return Problem(code, Severity.DOUBT, message, span, hint)
