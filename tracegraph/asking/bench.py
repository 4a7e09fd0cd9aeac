"""How the bench stands, from the words of a command: `without Q13 after 10s`."""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypedDict, cast

from tracegraph.diagnostics import Problem
from tracegraph.notation.parser import parse_tail
from tracegraph.notation.source import Source, from_text
from tracegraph.stage.meaning.conditions import condition
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.reading import Condition
from tracegraph.stage.stage import Stage

Words = str | Iterable[str]


_VERBS = {
    "without": "without",
    "lifted": "lifted",
    "joined": "joined",
    "unplugged": "unplugged",
    "fitted": "with",
    "after": "after",
}


class BenchWords(TypedDict, total=False):
    """What may be said of the bench; each one text, or several.

    Attributes:
        without: Parts out of their holes: `Q13`.
        lifted: Legs lifted: `R14.1`.
        joined: Nets joined and parted again: `GATE,COM`.
        unplugged: Connectors or nets whose plug is out: `J3`.
        fitted: Stand-ins, as in the notation: `C99 3n3 GATE -- COM`.
        after: How long since touching: `10s`.
    """

    without: Words
    lifted: Words
    joined: Words
    unplugged: Words
    fitted: Words
    after: Words


class BenchError(ValueError):
    """What was said of the bench does not fit the section.

    Attributes:
        problems: What is wrong with it.
        source: The words they speak of.
    """

    def __init__(self, problems: Iterable[Problem], source: Source) -> None:
        """Say everything that is wrong, in one text."""
        self.problems = tuple(problems)
        self.source = source
        told = (" ".join((one.message, one.hint)).strip() for one in self.problems)
        super().__init__(" ".join(told))


def tail_of(words: BenchWords) -> str:
    """Return the words as one tail of the notation.

    >>> tail_of({"without": ["Q13", "Q14"], "joined": "GATE,COM", "after": "10s"})
    'without Q13 without Q14 joined GATE COM after 10s'
    """
    return " ".join(_pieces(words))


def _pieces(words: BenchWords) -> Iterator[str]:
    told = cast("Mapping[str, Words | None]", words)
    for key, verb in _VERBS.items():
        texts = told.get(key) or ()
        for text in (texts,) if isinstance(texts, str) else texts:
            yield f"{verb} {text if key == 'fitted' else text.replace(',', ' ')}"


def bench_of(stage: Stage, tail: str) -> Condition:
    """Return the condition that a tail of the notation describes.

    Raises:
        BenchError: The tail cannot be read, or names what the section does not have.
    """
    source = from_text("the bench", tail)
    read, problems = parse_tail(tail)
    desk = Desk()
    found = condition(desk, stage, read)
    if problems or desk.problems:
        raise BenchError((*problems, *desk.problems), source)
    return found
