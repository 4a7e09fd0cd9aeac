"""How well two parts fit each other by themselves: kind, value, and their pins."""

from collections.abc import Iterator, Mapping
from itertools import combinations, permutations
from typing import NamedTuple

from tracegraph.compare.board import LEAK, Piece
from tracegraph.quantity import Quantity
from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.part import Part

SETTINGS = frozenset({"set", "on", "temp"})
"""What a hand or the weather sets: no difference between parts."""
_SAYS_LITTLE = frozenset({"dual"})
_MOST_TURNED = 4  # pins up to which every order is looked at


class Way(NamedTuple):
    """One way to lay a part's pins on those of another.

    Attributes:
        pins: Pairs of pins, reference to traced.
        nets: Pairs of the joined nets that they are on.
        turned: Whether pins are exchanged that are not alike: one step.
    """

    pins: tuple[tuple[str, str], ...]
    nets: tuple[tuple[str, str], ...]
    turned: bool


def other_kind(old: Part, new: Part) -> bool:
    """Return whether they are different kinds of part, as far as a board shows."""
    plain = old.variant - _SAYS_LITTLE != new.variant - _SAYS_LITTLE
    return old.kind.word != new.kind.word or plain


def other_values(old: Part, new: Part) -> tuple[str, ...]:
    """Return the symbols whose values do not overlap, tolerances included."""
    both = [one for one in old.given if one in new.given and one not in SETTINGS]
    return tuple(
        symbol
        for symbol in both
        if not symbol.startswith("rated ")
        and not _overlap(old.given[symbol], new.given[symbol])
    )


def open_values(old: Part, new: Part) -> tuple[bool, bool]:
    """Return for either part whether its value is not known yet."""
    symbol = old.kind.value
    if not symbol or old.kind is not new.kind:
        return False, False
    return not old.quantity(symbol).known, not new.quantity(symbol).known


def _overlap(old: Quantity, new: Quantity) -> bool:
    if not (old.known and new.known):
        return True
    slack = 1e-9 * max(abs(old.high), abs(new.high))  # edges that meet are an overlap
    return old.low <= new.high + slack and new.low <= old.high + slack


def can_become(old: Part, new: Part) -> bool:
    """Return whether one may stand on the other's pads: as many pins, in order."""
    if old.kind is new.kind:
        return True
    if LEAK in (old.kind, new.kind):
        return False
    return len(old.kind.pins) == len(new.kind.pins) > 0


def own_steps(old: Part, new: Part) -> int:
    """Return what the two parts cost by themselves, wherever they stand."""
    return int(other_kind(old, new) or bool(other_values(old, new)))


def pin_names(old: Part, new: Part) -> Mapping[str, str]:
    """Return the pin of the new part on the pad of each pin of the old one."""
    if old.kind is new.kind:
        return {name: name for name in old.pins if name in new.pins}
    pads = zip(old.kind.pins, new.kind.pins, strict=True)
    return {
        a.name: b.name for a, b in pads if a.name in old.pins and b.name in new.pins
    }


def alike(part: Part) -> dict[str, str]:
    """Return for every pin what it is: pins that are the same may be exchanged."""
    if not part.pinout:
        return dict.fromkeys(part.pins, "unknown")
    if part.kind.word == "tvs" and TWO_WAY in part.variant:
        return dict.fromkeys(part.pins, "end")
    roles = {spec.name: spec.role for spec in part.kind.pins}
    if part.kind.word == "winding":  # its dot tells the ends apart
        roles = {}
    return {name: roles.get(name) or name for name in part.pins}


class Layout(NamedTuple):
    """One way to lay pins on pins, whatever nets they are on; see `Way`."""

    pins: tuple[tuple[str, str], ...]
    turned: bool


def sort_of(piece: Piece) -> tuple[object, ...]:
    """Return what decides the layouts of a part: parts of one sort share them."""
    part = piece.part
    return part.kind.word, tuple(piece.pins), part.pinout, TWO_WAY in part.variant


def layouts(old: Piece, new: Piece, *, turns: bool = True) -> tuple[Layout, ...]:
    """Return the ways to lay a part's pins on another's.

    Parts of more than four pins are turned by exchanges of two only.
    """
    names = pin_names(old.part, new.part)
    pads = [(a, b) for a, b in names.items() if a in old.pins and b in new.pins]
    before, after = alike(old.part), alike(new.part)
    source = {b: a for a, b in pads}
    found = []
    for targets in _orders([b for _, b in pads]):
        pins = tuple((a, b) for (a, _), b in zip(pads, targets, strict=True))
        turned = any(
            before[a] != before[source[b]] and after[names[a]] != after[b]
            for a, b in pins
        )
        if turns or not turned:
            found.append(Layout(pins, turned))
    return tuple(sorted(found, key=lambda one: one.turned))


def ways(old: Piece, new: Piece, choices: tuple[Layout, ...]) -> tuple[Way, ...]:
    """Return the layouts with their nets; those that come to the same nets are one."""
    found: dict[tuple[tuple[str, str], ...], Way] = {}
    for pins, turned in choices:
        nets = tuple([(old.pins[a], new.pins[b]) for a, b in pins])
        found.setdefault(tuple(sorted(nets)), Way(pins, nets, turned))
    return tuple(found.values())


def _orders(pins: list[str]) -> Iterator[tuple[str, ...]]:
    if len(pins) <= _MOST_TURNED:
        yield from permutations(pins)
        return
    yield tuple(pins)
    for one, other in combinations(range(len(pins)), 2):
        order = list(pins)
        order[one], order[other] = order[other], order[one]
        yield tuple(order)
