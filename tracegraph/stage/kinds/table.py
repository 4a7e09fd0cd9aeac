"""Small builders of the tables that every entry of the registry holds."""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.stage.kind import Parameter, PinSpec

PRACTICE = "common practice, no source"

TWO_PINS = (PinSpec("1", (), "end", "1"), PinSpec("2", (), "end", "2"))
DIODE_PINS = (
    PinSpec("a", ("anode",), "anode", "1"),
    PinSpec("k", ("cathode", "kathode"), "cathode", "2"),
)
POLAR_PINS = (
    PinSpec("+", ("pos", "plus"), "positive end", "1"),
    PinSpec("-", ("neg", "minus"), "negative end", "2"),
)

RAISED: Mapping[str, float] = MappingProxyType(
    {"burnt": 20.0, "touched": 4.0, "hot": 3.0, "stressed": 3.0}
)
"""What makes any part likelier to be the culprit, with its factor (practice)."""


def parameters(*entries: Parameter) -> Mapping[str, Parameter]:
    """Return the parameters of a kind by their symbol."""
    return MappingProxyType({entry.symbol: entry for entry in entries})


def words(table: dict[str, str]) -> Mapping[str, str]:
    """Return a read-only table of words."""
    return MappingProxyType(table)


def raised(extra: dict[str, float]) -> Mapping[str, float]:
    """Return what raises any part, and what raises this kind besides."""
    return MappingProxyType({**RAISED, **extra})
