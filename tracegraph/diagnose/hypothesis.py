"""One thing that may be wrong, and how it alters the section."""

from math import inf
from typing import NamedTuple

from tracegraph.diagnose.verdict import Sort
from tracegraph.network.family import Between, Instead, Repin, Way
from tracegraph.quantity import exact
from tracegraph.stage.change import Change, Cut, Permute, Remove, Tie, Vary
from tracegraph.stage.stage import Stage

LEAKS = (0.0, 3.0, 10.0, 30.0, 100.0, 300.0, 1e3, 3e3, 1e4, 3e4, 1e5, 3e5, 1e6)
"""Ohms at which a path between two nets is worked out; between them it is drawn."""

FACTORS = (0.1, 0.2, 0.33, 0.5, 0.7, 0.85, 1.0, 1.18, 1.4, 2.0, 3.0, 5.0, 10.0, inf)
"""Of a resistor's value, likewise; infinity is an open."""

EXCHANGED = "pins exchanged"  # in the file: a new part does not mend it


class Range(NamedTuple):
    """Values over which a hypothesis is spread, evenly by equal ratios.

    Attributes:
        low: Least ohms; the same as `high` for one value.
        high: Greatest ohms.
    """

    low: float
    high: float


class Hypothesis(NamedTuple):
    """One thing that may be wrong.

    Attributes:
        name: Its kind of fault: `open`, `leaky c-e`, `missed path`.
        words: What it is, in the trade's words, without its value.
        sort: What kind of thing is to blame.
        parts: Designators to blame.
        nets: Nets that it touches.
        prior: How likely it is before any reading.
        changes: What it does to the section, at a typical value where it has a range.
        way: The path, resistor or pins that it varies; None where it is done otherwise.
        ranges: Values of the way with their shares; empty where there is no way.
        blind: Whether nothing that it does shows in ohms or a diode test.
    """

    name: str
    words: str
    sort: Sort
    parts: tuple[str, ...]
    nets: tuple[str, ...]
    prior: float
    changes: tuple[Change, ...]
    way: Way | None = None
    ranges: tuple[tuple[Range, float], ...] = ()
    blind: bool = False

    @property
    def spread(self) -> bool:
        """Whether its value is not known before."""
        return any(one.low != one.high for one, _ in self.ranges)

    def at(self, ohms: float) -> tuple[Change, ...]:
        """Return what it does to the section at one of its values."""
        if isinstance(self.way, Between):
            return (Tie(self.way.a, self.way.b, ohms),)
        if isinstance(self.way, Instead) and ohms != inf:
            return (Vary(self.way.part, "r", exact(ohms, "ohm")),)
        return self.changes


def repin_of(stage: Stage, changes: tuple[Change, ...]) -> Repin | None:
    """Return changes as pins lifted or moved, where they are that on a single part."""
    pins: dict[str, str] = {}
    refs: set[str] = set()
    for change in changes:
        if isinstance(change, Cut):
            part = stage.part(change.pin.part)
            pins[change.pin.name] = ""
        elif isinstance(change, Remove | Permute):
            part = stage.part(change.part)
            own = part.pins if part else {}
            if isinstance(change, Remove):
                pins |= dict.fromkeys(own, "")
            elif part:
                pins |= {pin: own[other] for pin, other in change.pins.items()}
        else:
            return None
        refs.add(part.ref if part else "")
        if part is None or not pins.keys() <= part.pins.keys():
            return None
    return Repin(refs.pop(), tuple(pins.items())) if len(refs) == 1 else None


def between(a: str, b: str) -> Between:
    """Return the path between two nets, in one order whichever way they are named."""
    first, second = sorted((a, b))
    return Between(first, second, LEAKS)
