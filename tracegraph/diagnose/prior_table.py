"""The table of priors as rows to read: kinds with their shares, raises, other figures."""

import re
from collections.abc import Iterable, Iterator
from importlib.resources import files
from typing import NamedTuple

from tracegraph.diagnose.priors import Priors, raises, sample, usual
from tracegraph.stage.kind import Kind
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.stage import Stage

OWN = "your table"
_SECTION = re.compile(r"\[(\w+)\]")
_FIGURE = re.compile(r"(\w+)\s*=\s*[^#]+#\s*(.+)")


class Share(NamedTuple):
    """A way to fail, its share of a kind's failures, and where that comes from."""

    fault: str
    share: float
    source: str


class KindRow(NamedTuple):
    """Kinds that fail alike.

    Attributes:
        kinds: Their words.
        rate: How often one of them is the culprit, relative.
        source: Where the rate comes from.
        shares: How they fail.
    """

    kinds: tuple[str, ...]
    rate: float
    source: str
    shares: tuple[Share, ...]


class Raise(NamedTuple):
    """What makes a failure likelier, by which factor, and of which kinds; all if none."""

    word: str
    factor: float
    kinds: tuple[str, ...]


class Figure(NamedTuple):
    """A figure of the table: its name, its value, what it says."""

    name: str
    value: float
    words: str
    source: str


def kinds_of(stage: Stage | None = None) -> tuple[Kind, ...]:
    """Return the kinds of a section's parts, or all of them, each once."""
    some = [part.kind for part in stage.parts] if stage else KINDS.values()
    return tuple({kind.word: kind for kind in some}.values())


def kind_rows(priors: Priors, kinds: Iterable[Kind]) -> tuple[KindRow, ...]:
    """Return rates and shares; kinds of the same figures are put together."""
    found: dict[tuple[object, ...], KindRow] = {}
    for kind in kinds:
        row = _row(priors, kind)
        if row.shares:
            key = row[1:]
            before = found.get(key)
            words = (*(before.kinds if before else ()), kind.word)
            found[key] = row._replace(kinds=words)
    return tuple(found.values())


def _row(priors: Priors, kind: Kind) -> KindRow:
    own = priors.kinds.get(kind.word, {})
    shares = tuple(
        Share(
            fault.name,
            priors.share(kind, fault),
            OWN if {fault.name, fault.name.split()[0]} & set(own) else fault.source,
        )
        for fault in kind.faults(sample(kind))
    )
    source = OWN if "rate" in own else kind.rate_source
    return KindRow((kind.word,), priors.rate(kind), source, shares)


def raise_rows(kinds: Iterable[Kind]) -> tuple[Raise, ...]:
    """Return what makes a failure likelier; what holds of all kinds names none."""
    able = [kind for kind in kinds if kind.raised]
    found: dict[tuple[str, float], list[str]] = {}
    for kind in able:
        for word, factor in kind.raised.items():
            found.setdefault((word, factor), []).append(kind.word)
    return tuple(
        Raise(word, factor, () if len(words) == len(able) else tuple(words))
        for (word, factor), words in found.items()
    )


def raised_parts(stage: Stage) -> tuple[tuple[str, tuple[Raise, ...]], ...]:
    """Return the parts of a section of which something makes a failure likelier."""
    found = (
        (part.ref, tuple(Raise(word, by, ()) for word, by in raises(part).items()))
        for part in stage.parts
    )
    return tuple((ref, some) for ref, some in found if some)


def figure_rows(priors: Priors) -> tuple[Figure, ...]:
    """Return the other figures, each with what it says."""
    words, plain = dict(_words()), usual().figures
    source = "common practice, no source"
    return tuple(
        Figure(
            name, value, words.get(name, ""), source if value == plain[name] else OWN
        )
        for name, value in priors.figures.items()
    )


def _words() -> Iterator[tuple[str, str]]:
    """Yield what the remarks beside the figures of the package's table say."""
    section = ""
    text = (files("tracegraph.diagnose") / "priors.toml").read_text("utf-8")
    for line in text.splitlines():
        if head := _SECTION.match(line):
            section = head[1]
        elif told := _FIGURE.match(line):
            yield f"{section}.{told[1]}", told[2].strip()
