"""What a part may bear: as its rating is written, else what is usual for its kind."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.stage.part import Part

PIN_AMPS = 20e-3  # that a controller's pin gives; common practice, no source
_USUAL: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "W": {
            "resistor": 0.25,
            "npn": 0.3,
            "pnp": 0.3,
            "zener": 0.5,
            "diode": 0.5,
            "led": 0.1,
        },
        "A": {
            "led": 25e-3,
            "whiteled": 25e-3,
            "irled": 50e-3,
            "opto": 50e-3,
            "optodriver": 50e-3,
        },
    }
)
"""What a small one bears where nothing is written; common practice, no source."""
_FUSE = "fuse"  # its own value is what it may carry


class Limit(NamedTuple):
    """What a part may bear.

    Attributes:
        most: Amperes, volts or watts.
        written: Whether the file gives it; else it is the usual one.
    """

    most: float
    written: bool


def limit_of(part: Part, unit: str) -> Limit | None:
    """Return what a part may bear in A, V or W; None where nothing is known of it."""
    rated = part.rated(unit)
    if part.kind.word == _FUSE and unit == "A":
        rated = rated or part.given.get("i")
    if rated and rated.typical:
        return Limit(rated.typical, written=True)
    usual = _USUAL.get(unit, {}).get(part.kind.word)
    return Limit(usual, written=False) if usual else None
