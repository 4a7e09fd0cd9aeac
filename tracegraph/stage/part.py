"""A part as it stands in a section."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.quantity import Quantity
from tracegraph.stage.kind import Kind


class Pin(NamedTuple):
    """A pin of a part, written `Q11.b`."""

    part: str
    name: str

    def __str__(self) -> str:
        """Return it as written in the notation."""
        return f"{self.part}.{self.name}"


RATED = "rated "
"""Ratings are kept among the given quantities as `rated V`, `rated A`, `rated W`."""


class Status(StrEnum):
    """Whether the part is on the board."""

    FITTED = "fitted"
    ABSENT = "absent"  # empty pads found
    REMOVED = "removed"  # was there, taken out


@dataclass(frozen=True, slots=True)
class Part:
    """One part.

    Attributes:
        ref: Designator as first written; with its unit (`U7.A`) where it has one.
        kind: Its registry entry.
        pins: Net of every pin, by canonical pin name, in the order written.
        given: Quantities that the file states, by symbol, ratings among them; the
            kind has the rest.
        status: Fitted, absent or removed.
        burnt: Whether it was found burnt.
        touched: Whether somebody has resoldered it.
        pinout: False where the file says that the pinout is unknown (`?`).
        untraced: Pins whose net is not known.
        variant: Words that choose a form of the kind (`schottky`, `no diode`), sorted.
        type_number: Type number as shown, or empty.
        marked: What is printed on the part where the file says `marked`, or empty.
        numbers: Number of each pin that was written with one, by canonical name.
        toleranced: Symbols whose tolerance was written, not assumed.
        channel: Sister channel it belongs to, or empty.
        note: What the technician remarked.
        written: Where it was written.
        placed: Where it was placed (differs from `written` under `channel V like U`).
    """

    ref: str
    kind: Kind
    pins: Mapping[str, str]
    given: Mapping[str, Quantity] = field(default_factory=lambda: MappingProxyType({}))
    status: Status = Status.FITTED
    burnt: bool = False
    touched: bool = False
    pinout: bool = True
    untraced: frozenset[str] = frozenset()
    variant: frozenset[str] = frozenset()
    type_number: str = ""
    marked: str = ""
    numbers: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    toleranced: frozenset[str] = frozenset()
    channel: str = ""
    note: str = ""
    written: Span | None = None
    placed: Span | None = None

    @property
    def package(self) -> str:
        """The designator without its unit: `U7` for `U7.A`."""
        return self.ref.split(".", 1)[0]

    @property
    def fitted(self) -> bool:
        """Whether the part is on the board and conducts."""
        return self.status is Status.FITTED

    def leg(self, name: str) -> str | None:
        """Return the canonical name of a pin from its name, alias or number, or None.

        A number written in the file goes before the usual pinout; where the pinout is
        unknown only the numbers written count.
        """
        wanted = name.lower()
        for own, number in self.numbers.items():
            if wanted in {own.lower(), number.lower()}:
                return own
        spec = self.kind.pin(name)
        by_number = spec is not None and name == spec.number != spec.name
        if spec and not (by_number and (self.numbers or not self.pinout)):
            return spec.name
        return next((own for own in self.pins if own.lower() == wanted), None)

    def has(self, symbol: str) -> bool:
        """Return whether the part's kind knows this parameter, or the file gives it."""
        return symbol in self.given or symbol in self.kind.parameters

    def quantity(self, symbol: str) -> Quantity:
        """Return a parameter: as given, else the usual one of the kind.

        Raises:
            KeyError: The kind has no such parameter.
        """
        given = self.given.get(symbol)
        return given or self.kind.parameters[symbol].quantity

    def rated(self, unit: str) -> Quantity | None:
        """Return what the part is made for in A, V or W, or None where not written."""
        return self.given.get(RATED + unit)

    def with_given(self, symbol: str, quantity: Quantity) -> "Part":
        """Return the part with one parameter stated."""
        return replace(self, given=MappingProxyType({**self.given, symbol: quantity}))

    def with_pins(self, pins: Mapping[str, str]) -> "Part":
        """Return the part with other nets on its pins."""
        return replace(self, pins=MappingProxyType(dict(pins)))
