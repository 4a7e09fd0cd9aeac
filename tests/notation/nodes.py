"""Short ways to the nodes of a text, for tests."""

from typing import TypeVar

from tracegraph.notation import syntax
from tracegraph.notation.parser import parse
from tracegraph.notation.source import from_text
from tracegraph.notation.syntax import Statement, Word

T = TypeVar("T", bound=Statement)


def read(text: str) -> tuple[Statement, ...]:
    """Return the statements of a text without faults."""
    found = parse(from_text("bench.trace", text))
    assert found.problems == ()
    return found.statements


def one(kind: type[T], line: str) -> T:
    """Return the only statement of a line."""
    (statement,) = read(line)
    assert isinstance(statement, kind)
    return statement


def said(words: tuple[Word, ...]) -> list[str]:
    return [word.text for word in words]


def pairs(settings: tuple[syntax.Setting, ...]) -> dict[str, str]:
    return {setting.name.text: setting.value.text for setting in settings}


def way(ends: syntax.Ends | None) -> str:
    assert ends
    return f"{ends.left.text} {'->' if ends.arrow else '--'} {ends.right.text}"


def station(step: syntax.ChainStep) -> str:
    return " ".join([*said(step.words), step.arrow]).strip()
