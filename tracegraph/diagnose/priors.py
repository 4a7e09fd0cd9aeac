"""How likely a thing is before any reading: one table, which a user's file may change."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from math import inf
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.nearest import did_you_mean
from tracegraph.stage.kind import Fault, Kind
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part

OVER_100K = 1e5
AS_WRITTEN = ("1", "2")  # pins of a kind whose pins are as written
CHANCES = (
    "board.",
    "tracing.",
    "probe.",
    "verdict.",
    "part.drifts_up",
    "part.other_legs",
)
FACTORS = ("cost.", "part.per_rate", "part.died_with", "part.other_legs")
NEITHER = ("probe.slip", "verdict.sure")  # never and always would end all doubt


class PriorsError(ValueError):
    """A table of priors cannot be used; says why, naming the file."""


class Priors(NamedTuple):
    """Every figure of the table.

    Attributes:
        figures: By section and name: `board.track`.
        kinds: Rates and shares that differ from those of the registry, by kind and
            name; `rate`, or the first word of a fault: `open`.
    """

    figures: Mapping[str, float]
    kinds: Mapping[str, Mapping[str, float]] = MappingProxyType({})

    def figure(self, name: str) -> float:
        """Return one figure, such as `board.track`."""
        return self.figures[name]

    def rate(self, kind: Kind) -> float:
        """Return how often a kind is the culprit, relative."""
        return self.kinds.get(kind.word, {}).get("rate", kind.rate)

    def share(self, kind: Kind, fault: Fault) -> float:
        """Return the share of a kind's failures that a fault has."""
        own = self.kinds.get(kind.word, {})
        return own.get(fault.name, own.get(fault.name.split()[0], fault.share))

    def fault(self, part: Part, fault: Fault) -> float:
        """Return the chance of a part's fault: rate x share x raise."""
        rate = self.rate(part.kind) * self.raise_of(part) * self.figure("part.per_rate")
        return min(rate, 0.5) * self.share(part.kind, fault)

    def raise_of(self, part: Part) -> float:
        """Return what is seen of a part that makes a failure likelier, as a factor."""
        return float(prod_of(raises(part)))


def raises(part: Part) -> dict[str, float]:
    """Return what makes a part likelier to be the culprit, each with its factor."""
    raised = part.kind.raised
    seen = {
        "touched": part.touched,
        "burnt": part.burnt,
        "over 100k": part.has("r") and (part.quantity("r").typical or 0.0) > OVER_100K,
    }
    return {
        word: raised[word] for word, is_so in seen.items() if is_so and word in raised
    }


def prod_of(factors: Mapping[str, float]) -> float:
    """Return the product of factors.

    >>> prod_of({"touched": 4.0, "burnt": 20.0})
    80.0
    """
    product = 1.0
    for factor in factors.values():
        product *= factor
    return product


@cache
def usual() -> Priors:
    """Return the table that the package holds."""
    text = (files("tracegraph.diagnose") / "priors.toml").read_text("utf-8")
    return _merged(Priors(MappingProxyType({})), tomllib.loads(text), "priors.toml")


def priors_from(path: Path) -> Priors:
    """Return the table with the figures of a user's file in it.

    Raises:
        PriorsError: The file cannot be read, or tells what the table does not have.
    """
    try:
        table = tomllib.loads(path.read_text("utf-8-sig"))
    except OSError as fault:
        raise PriorsError(f"{path} can't be read: {fault.strerror}") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise PriorsError(f"{path} is no table of priors: {fault}") from None
    known = usual()
    for section, entries in table.items():
        if section != "kinds":
            _check(str(path), section, entries, known)
    return _merged(known, table, str(path))


def _check(path: str, section: str, entries: object, known: Priors) -> None:
    if not isinstance(entries, dict):
        raise PriorsError(f"{path}: {section} stands alone: write [part], [board]...")
    for name in entries:
        full = f"{section}.{name}"
        if full not in known.figures:
            hint = did_you_mean(full, known.figures)
            raise PriorsError(f"{path}: there is no figure {full}{hint}")


def _merged(base: Priors, table: Mapping[str, object], path: str) -> Priors:
    figures, kinds = dict(base.figures), dict(base.kinds)
    for section, entries in table.items():
        if not isinstance(entries, dict):
            raise PriorsError(f"{path}: {section} is no section")
        if section == "kinds":
            kinds |= {word: _of_kind(path, word, one) for word, one in entries.items()}
        else:
            own = {f"{section}.{name}": value for name, value in entries.items()}
            figures |= {name: _figure(path, name, one) for name, one in own.items()}
    return Priors(MappingProxyType(figures), MappingProxyType(kinds))


def _of_kind(path: str, word: str, entries: object) -> Mapping[str, float]:
    if word not in KINDS:
        raise PriorsError(f"{path}: there is no kind {word}{did_you_mean(word, KINDS)}")
    if not isinstance(entries, dict):
        raise PriorsError(f"{path}: [kinds.{word}] holds figures, such as rate = 1.0")
    known = _names(KINDS[word])
    for name in entries:
        if name not in known:
            hint = did_you_mean(name, known)
            raise PriorsError(f"{path}: {word} has no failure called {name}{hint}")
    own = {
        name: _number(path, f"kinds.{word}.{name}", x) for name, x in entries.items()
    }
    return MappingProxyType(own)


def _names(kind: Kind) -> tuple[str, ...]:
    """Return what may stand under a kind: its rate, and faults by name or first word."""
    faults = [fault.name for fault in kind.faults(sample(kind))]
    return ("rate", *dict.fromkeys([*(one.split()[0] for one in faults), *faults]))


def sample(kind: Kind) -> Part:
    """Return a part of a kind, each pin on a net of its own."""
    names = tuple(pin.name for pin in kind.pins) or AS_WRITTEN
    return Part("X", kind, MappingProxyType({name: f"X.{name}" for name in names}))


def _figure(path: str, name: str, value: object) -> float:
    figure = _number(path, name, value)
    if name.startswith(CHANCES) and figure > 1:
        raise PriorsError(f"{path}: {name} is a chance: from 0 to 1, not {value!r}")
    if name in NEITHER and figure in {0.0, 1.0}:
        raise PriorsError(f"{path}: {name} lies between 0 and 1, not at {value!r}")
    if name.startswith(FACTORS) and figure == 0:
        raise PriorsError(f"{path}: {name} wants a number over 0")
    return figure


def _number(path: str, name: str, value: object) -> float:
    if (
        isinstance(value, bool)
        or not isinstance(value, int | float)
        or not 0 <= value < inf
    ):
        raise PriorsError(f"{path}: {name} wants a number of 0 or more, not {value!r}")
    return float(value)
