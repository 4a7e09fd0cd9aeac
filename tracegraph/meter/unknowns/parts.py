"""What is unknown of a part: its value, its pinout, or all of its inside."""

from collections.abc import Iterator
from itertools import permutations
from math import inf, sqrt
from types import MappingProxyType

from tracegraph.display import show
from tracegraph.meter.unknowns.unknown import Alternative, Unknown, junction
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.branch import Junction
from tracegraph.stage.change import Permute, Remove, Vary
from tracegraph.stage.part import Part
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage

GUESSES = (10e3, 1e3, 100e3, 100.0)  # for an unread resistor, the most usual first
MOST_LEGS = 4


def values(stage: Stage) -> Iterator[Unknown]:
    """Yield the values that could not be read."""
    for part in stage.parts:
        for symbol, quantity in part.given.items():
            if quantity.typical is None and part.fitted:
                found = tuple(_guesses(part, symbol, quantity))
                ask = f"read {part.ref} with a leg lifted, and write its value"
                yield Unknown(part.ref, found, ask)


def _guesses(part: Part, symbol: str, quantity: Quantity) -> Iterator[Alternative]:
    """Yield a few values inside an interval and its ends; endless is an open part."""
    low, high = quantity.low, quantity.high
    inside = [one for one in GUESSES if low < one < high and quantity.unit == "ohm"]
    if not inside and 0 < low < high < inf:
        inside = [sqrt(low * high)]
    ends = [one for one in (low, high) if 0 < one < inf]
    for value in (*inside, *ends):
        changes = (Vary(part.ref, symbol, exact(value, quantity.unit)),)
        share = 0.9 / len((*inside, *ends))
        yield Alternative(show(value, quantity.unit), changes, share)
    if high == inf or not (inside or ends):
        yield Alternative("open", (Remove(part.ref),), 0.1)


def pinouts(stage: Stage) -> Iterator[Unknown]:
    """Yield the parts whose pinout is not known, with every order of their legs."""
    for part in stage.parts:
        if not part.pinout and part.fitted and len(part.pins) <= MOST_LEGS:
            orders = list(permutations(part.pins))
            found = [_order(part, order, 1 / len(orders)) for order in orders]
            ask = f"find {part.ref}'s pinout: diode readings over its legs, both ways"
            yield Unknown(f"the pinout of {part.ref}", tuple(found), ask)


def _order(part: Part, order: tuple[str, ...], share: float) -> Alternative:
    moves = dict(zip(part.pins, order, strict=True))
    words = " ".join(f"{pin}={part.pins[leg]}" for pin, leg in moves.items())
    return Alternative(words, (Permute(part.ref, MappingProxyType(moves)),), share)


def chips(stage: Stage) -> Iterator[Unknown]:
    """Yield chips whose cold pins are the usual ones, not known ones."""
    for part in stage.parts:
        found: tuple[Alternative, ...] = ()
        if part.fitted and _only_guessed(part):
            found = (
                Alternative("like most chips", (), 0.8),
                Alternative("open at its pins", (Remove(part.ref),), 0.2),
            )
        elif part.fitted and part.kind.open_pins and part.kind.word == "ic":
            found = _groundless(stage, part)
        if found:
            ask = f"measure {part.ref}'s pins on a known-good board"
            yield Unknown(f"the inside of {part.ref}", found, ask)


def _groundless(stage: Stage, part: Part) -> tuple[Alternative, ...]:
    """Return what a chip may be whose ground pin no name tells.

    A pin on a ground, else the nearest ground, is taken for it.
    """
    grounds = {ground.net for ground in stage.grounds}
    own = [net for net in part.pins.values() if net in grounds]
    near = grounds_of(stage)
    usual = tuple(
        junction(f"{part.ref}'s pin {pin}", ground, net)
        for pin, net in part.pins.items()
        if (ground := own[0] if own else near.get(net, "")) and net != ground
    )
    if not usual:
        return ()
    return (
        Alternative("like most chips", usual, 0.8),
        Alternative("open at its pins", (), 0.2),
    )


def _only_guessed(part: Part) -> bool:
    junctions = [one for one in part.kind.cold(part) if isinstance(one, Junction)]
    return bool(junctions) and all(one.family == "pin" for one in junctions)
