"""A value with what is known of it: the one number type of the whole house."""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf


class Origin(StrEnum):
    """Where a value comes from; decides how far it is trusted."""

    WRITTEN = "written"
    MARKED = "marked"
    MEASURED = "measured"
    USUAL = "usual for its kind"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value, the interval that holds it, and where it comes from.

    Attributes:
        typical: The value in SI units; None when unknown.
        low: Least value a healthy part may have (tolerance and device spread).
        high: Greatest value a healthy part may have; may be infinite.
        unit: `ohm`, `F`, `H`, `V`, `A`, `Hz`, `s`, `K`, `C`, `V/dec`, or empty for a ratio.
        origin: Where the value comes from.
        at: The data-sheet test condition (amperes for a drop, volts for an
            on-resistance), in SI units; None where the value has none.
    """

    typical: float | None
    low: float
    high: float
    unit: str
    origin: Origin = Origin.WRITTEN
    at: float | None = None

    def __post_init__(self) -> None:
        """Keep the typical value inside its own interval."""
        inside = self.typical is None or self.low <= self.typical <= self.high
        if not (inside and self.low <= self.high):
            raise ValueError(
                f"{self.low} .. {self.typical} .. {self.high} is no interval"
            )

    @property
    def known(self) -> bool:
        """Whether a typical value is known."""
        return self.typical is not None

    def within(self, fraction: float) -> "Quantity":
        """Return the same value with a tolerance of `fraction` either way.

        >>> exact(1000, "ohm").within(0.05).high
        1050.0
        """
        if self.typical is None:
            return self
        reach = abs(self.typical) * fraction
        return replace(self, low=self.typical - reach, high=self.typical + reach)


def exact(value: float, unit: str, origin: Origin = Origin.WRITTEN) -> Quantity:
    """Return a value without any spread."""
    return Quantity(value, value, value, unit, origin)


def usual(
    typical: float, low: float, high: float, unit: str, at: float | None = None
) -> Quantity:
    """Return a documented typical value of a part kind with its spread."""
    return Quantity(typical, low, high, unit, Origin.USUAL, at)


def unknown(unit: str, low: float = 0.0, high: float = inf) -> Quantity:
    """Return a value of which only the interval is known."""
    return Quantity(None, low, high, unit, Origin.UNKNOWN)
