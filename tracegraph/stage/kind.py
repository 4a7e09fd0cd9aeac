"""What a part kind is: one registry entry a kind. The entries are in `stage/kinds/`."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from tracegraph.quantity import Quantity
from tracegraph.stage.branch import Branch

if TYPE_CHECKING:
    from tracegraph.stage.change import Change
    from tracegraph.stage.part import Part


class Form(StrEnum):
    """How a part line says where the part's pins go."""

    TWO_WAY = "A -- B"
    ONE_WAY = "A -> B"
    EITHER = "A -- B or A -> B"
    PINS = "pin=NET ..."


class PinSpec(NamedTuple):
    """A pin of a kind.

    Attributes:
        name: Canonical short name, as in `Q11.b`.
        aliases: Other accepted names, lower case.
        role: What it is, in the trade's words: `base`, `output`, `supply`, `ground`...
        number: Its number where a usual pinout exists, else empty.
    """

    name: str
    aliases: tuple[str, ...] = ()
    role: str = ""
    number: str = ""


class Parameter(NamedTuple):
    """A data-sheet parameter of a kind.

    Attributes:
        symbol: Letter symbol as written in the notation, lower case.
        quantity: The usual value with its spread, used where none is given.
        tolerance: Fraction that a written value may be off where none is written.
        source: Where the usual value comes from.
        optional: Whether the part has no such thing unless it is written.
    """

    symbol: str
    quantity: Quantity
    tolerance: float = 0.0
    source: str = "common practice, no source"
    optional: bool = False


class Fault(NamedTuple):
    """A way to fail: a tuple of changes and words.

    Attributes:
        name: `open`, `short`, `leaky`, `drifted`, ...
        changes: What it does to the stage.
        share: Fraction of this kind's failures.
        source: Where the share comes from.
        words: The fault in the trade's words, such as `Q11 shorted c-e`.
    """

    name: str
    changes: "tuple[Change, ...]"
    share: float
    source: str
    words: str


def no_branches(_part: "Part") -> tuple[Branch, ...]:
    """Return no branch at all: the kind is electrically nothing in this state."""
    return ()


def no_faults(_part: "Part") -> tuple[Fault, ...]:
    """Return no fault: nothing about the kind can fail."""
    return ()


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of part.

    Attributes:
        word: The word for it in the notation.
        title: The trade's name, for people: `PNP transistor`.
        aliases: Other accepted words, lower case.
        letters: Designator letters (IEEE 315 / IEC 81346-2) that go with it.
        pins: Its pins in order; empty for kinds whose pins are as written.
        form: How its line is written.
        value: Symbol of the parameter that a bare value sets, or empty.
        parameters: Its data-sheet parameters by symbol.
        cold: The branches it has unpowered.
        live: The branches it has powered; the same as `cold` unless given.
        faults: The ways it fails.
        rate: How often it is the culprit, relative (a plain resistor is 0.5).
        rate_source: Where the rate comes from.
        raised: What makes a failure likelier, with its factor.
        roles: What it can be for, in the trade's words.
        ratings: Symbols that may follow `rating`, with their units.
        open_pins: Whether pins beyond those listed may be named on the line.
        variants: Words that may stand beside the kind's word, with the word of the
            kind they make of it; where that is the same kind, the part keeps them.
        symbol: Name of its symbol in a drawing (`draw/symbols`).
    """

    word: str
    title: str
    letters: tuple[str, ...]
    pins: tuple[PinSpec, ...]
    form: Form
    cold: "Callable[[Part], tuple[Branch, ...]]" = no_branches
    live: "Callable[[Part], tuple[Branch, ...]] | None" = None
    faults: "Callable[[Part], tuple[Fault, ...]]" = no_faults
    aliases: tuple[str, ...] = ()
    value: str = ""
    parameters: Mapping[str, Parameter] = field(
        default_factory=lambda: MappingProxyType({})
    )
    rate: float = 1.0
    rate_source: str = "common practice, no source"
    raised: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    roles: tuple[str, ...] = ()
    ratings: tuple[str, ...] = ()
    open_pins: bool = False
    variants: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    symbol: str = "box"

    def pin(self, name: str) -> PinSpec | None:
        """Return the pin called `name` (name, alias or usual number), or None."""
        wanted = name.lower()
        for spec in self.pins:
            if wanted in {spec.name.lower(), *spec.aliases, spec.number}:
                return spec
        return None


def a(title: str) -> str:
    """Return a kind's title with its article.

    >>> a("resistor"), a("NPN transistor"), a("op amp")
    ('a resistor', 'an NPN transistor', 'an op amp')
    """
    spelt = title.startswith(("NPN", "N-", "NTC", "SCR", "LED"))
    vowel = title[:1].lower() in {*"aeio"} or spelt
    return f"an {title}" if vowel else f"a {title}"
