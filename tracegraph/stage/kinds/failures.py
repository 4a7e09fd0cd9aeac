"""Ways to fail, as entries that a kind lists: each makes a fault of a part.

The handbook's shares are given that the part failed. Where a part can be fitted the
wrong way round, a small share is set aside for the slips of a former repair.
"""

from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType

from tracegraph.quantity import Origin, Quantity
from tracegraph.stage.change import Change, Cut, Permute, Remove, Tie, Vary
from tracegraph.stage.kind import Fault
from tracegraph.stage.kinds.table import PRACTICE
from tracegraph.stage.part import Part, Pin

HANDBOOK = "MIL-HDBK-338B, failure-mode distributions, from memory"
SPLIT = f"{HANDBOOK}; split over the terminals: {PRACTICE}"

LEAK = 1000.0
"""Ohms that stand for a leak until a diagnosis integrates over them."""

SWAPPED = 0.02
MISSING = 0.01

Way = Callable[[Part, str], Fault]


def failing(
    source: str, *ways: Way, swap: tuple[str, str] | None = None
) -> Callable[[Part], tuple[Fault, ...]]:
    """Return the `faults` of a kind: its ways to fail, whose shares add up to one.

    Args:
        source: Where the shares come from.
        ways: The ways to fail.
        swap: Two pins that are exchanged where the part is fitted the wrong way
            round; a part that can be, can be missing too.
    """

    def faults(part: Part) -> tuple[Fault, ...]:
        found = tuple(way(part, source) for way in ways)
        if swap is None:
            return found
        rest = 1.0 - SWAPPED - MISSING
        kept = tuple(fault._replace(share=fault.share * rest) for fault in found)
        return (*kept, _swapped(part, *swap), _missing(part))

    return faults


def opened(pin: str, share: float, name: str = "open") -> Way:
    """Return an open at a pin; for a two-terminal part either pin will do."""

    def way(part: Part, source: str) -> Fault:
        where = "" if len(part.kind.pins) == 2 else f" at {pin}"
        words = f"{part.ref} {name}{where}"
        return Fault(f"{name}{where}", (Cut(Pin(part.ref, pin)),), share, source, words)

    return way


def shorted(a: str, b: str, share: float) -> Way:
    """Return a dead short between two pins."""
    return _tied("short", "shorted", (a, b), 0.0, share)


def leaky(a: str, b: str, share: float, ohms: float = LEAK) -> Way:
    """Return a leak between two pins."""
    return _tied("leaky", "leaky", (a, b), ohms, share)


def drifted(symbol: str, factor: float, share: float, name: str = "drifted") -> Way:
    """Return a parameter away from its value by `factor`.

    A value that was not known before cannot be seen to drift: it stays as it is.
    """

    def way(part: Part, source: str) -> Fault:
        other = _times(part.quantity(symbol), factor)
        change = Vary(part.ref, symbol, other)
        return Fault(name, (change,), share, source, f"{part.ref} {name}")

    return way


def stuck(symbol: str, value: float, share: float, name: str) -> Way:
    """Return a setting that no longer follows: a welded contact, a dead output."""

    def way(part: Part, source: str) -> Fault:
        unit = part.quantity(symbol).unit
        change = Vary(part.ref, symbol, Quantity(value, value, value, unit))
        return Fault(name, (change,), share, source, f"{part.ref} {name}")

    return way


def every(
    way: Callable[[str, float], Way], share: float, *pins: str
) -> tuple[Way, ...]:
    """Return the same way to fail at several pins, its share split evenly."""
    return tuple(way(pin, share / len(pins)) for pin in pins)


def net_of(part: Part, pin: str) -> str:
    """Return the net a pin sits on; a pin that is not wired is a net by itself."""
    return part.pins.get(pin, f"{part.ref}.{pin}")


def _tied(
    name: str, state: str, pins: tuple[str, str], ohms: float, share: float
) -> Way:
    def way(part: Part, source: str) -> Fault:
        where = "" if len(part.kind.pins) == 2 else f" {pins[0]}-{pins[1]}"
        change: Change = Tie(net_of(part, pins[0]), net_of(part, pins[1]), ohms)
        words = f"{part.ref} {state}{where}"
        return Fault(f"{name}{where}", (change,), share, source, words)

    return way


def _times(quantity: Quantity, factor: float) -> Quantity:
    if quantity.typical is None:
        return quantity
    value = quantity.typical * factor
    return replace(
        quantity, typical=value, low=value, high=value, origin=Origin.WRITTEN
    )


def _swapped(part: Part, a: str, b: str) -> Fault:
    change = Permute(part.ref, MappingProxyType({a: b, b: a}))
    words = f"{part.ref} fitted with {a} and {b} exchanged"
    return Fault("reversed", (change,), SWAPPED, PRACTICE, words)


def _missing(part: Part) -> Fault:
    change = Remove(part.ref)
    return Fault("absent", (change,), MISSING, PRACTICE, f"{part.ref} missing")
