"""Random alterations of a section that a comparison can see, and disguises of it."""

from collections.abc import Callable
from dataclasses import replace
from random import Random
from types import MappingProxyType
from typing import NamedTuple

from tests.compare.looks import anchored, seen
from tracegraph.compare.board import board_of
from tracegraph.compare.likeness import alike, other_values
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import (
    Add,
    Become,
    Change,
    Cut,
    Permute,
    Remove,
    Split,
    Tie,
    Vary,
)
from tracegraph.stage.kind import Kind
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.rename import renamed
from tracegraph.stage.stage import Link, LinkForm, Stage

OTHERS = {
    "npn": ("pnp", "nfet"),
    "pnp": ("npn",),
    "nfet": ("pfet", "igbt"),
    "igbt": ("nfet",),
    "diode": ("schottky", "zener"),
    "fast": ("diode", "zener"),
    "schottky": ("diode",),
    "zener": ("diode", "tvs"),
    "resistor": ("capacitor", "fuse"),
    "capacitor": ("resistor", "electrolytic"),
    "electrolytic": ("capacitor",),
}
FACTORS = (0.1, 0.22, 4.7, 10.0, 100.0)

Changes = tuple[Change, ...]


class Mutation(NamedTuple):
    """One alteration; `touches` are the parts and nets that no other may touch."""

    changes: Changes
    touches: frozenset[str]


class Mutated(NamedTuple):
    """An altered section, and what was done to it."""

    stage: Stage
    done: tuple[Changes, ...]


def _absent(random: Random, stage: Stage) -> Mutation | None:
    part = random.choice(fitted(stage))
    if not set(part.pins.values()).isdisjoint(stage.untraced):
        return None  # it may hang there yet, untraced
    small = {net for net in part.pins.values() if len(nets(stage).get(net, ())) < 10}
    return Mutation((Remove(part.ref),), frozenset({part.ref, *small}))


def _extra(random: Random, stage: Stage) -> Mutation:
    word = random.choice(("resistor", "capacitor", "diode", "zener"))
    kind, ends = KINDS[word], random.sample(sorted(nets(stage)), 2)
    ref = f"{kind.letters[0]}{random.randrange(700, 900)}"
    pins = {spec.name: net for spec, net in zip(kind.pins, ends, strict=True)}
    part = Part(ref, kind, pins, _some_value(kind))
    return Mutation((Add(part),), frozenset({ref, *ends}))


def _value(random: Random, stage: Stage) -> Mutation | None:
    part = random.choice(fitted(stage))
    symbol = part.kind.value
    old = part.given.get(symbol)
    if old is None or not old.typical:
        return None
    factor = random.choice(FACTORS)
    new = replace(
        old, typical=old.typical * factor, low=old.low * factor, high=old.high * factor
    )
    if not other_values(part, part.with_given(symbol, new)):
        return None
    return Mutation((Vary(part.ref, symbol, new),), frozenset({part.ref}))


def _kind(random: Random, stage: Stage) -> Mutation | None:
    part = random.choice(fitted(stage))
    if part.kind.word not in OTHERS:
        return None
    word = random.choice(OTHERS[part.kind.word])
    change = Become(part.ref, word, _some_value(KINDS[word]))
    return Mutation((change,), frozenset({part.ref}))


def _some_value(kind: Kind) -> dict[str, Quantity]:
    units = {one.symbol: one.quantity.unit for one in kind.parameters.values()}
    return {kind.value: exact(33.0, units[kind.value])} if kind.value else {}


def _turned(random: Random, stage: Stage) -> Mutation | None:
    part = random.choice(fitted(stage))
    if len(part.pins) < 2:
        return None
    one, other = random.sample(list(part.pins), 2)
    if {one, other} & part.untraced:
        return None
    roles = alike(part)
    if roles[one] == roles[other] or _same_net(stage, part, one, other):
        return None
    change = Permute(part.ref, MappingProxyType({one: other, other: one}))
    return Mutation((change,), frozenset({part.ref}))


def _moved(random: Random, stage: Stage) -> Mutation | None:
    part = random.choice(fitted(stage))
    pin = random.choice([pin for pin in part.pins if pin not in part.untraced])
    net = random.choice(sorted(nets(stage)))
    if len(nets(stage).get(part.pins[pin], ())) < 2 or net == part.pins[pin]:
        return None
    own = Pin(part.ref, pin)
    return Mutation(
        (Cut(own), Tie(str(own), net)), frozenset({part.ref, part.pins[pin], net})
    )


def _bridged(random: Random, stage: Stage) -> Mutation:
    a, b = random.sample(sorted(nets(stage)), 2)
    return Mutation((Tie(a, b),), frozenset({a, b}))


def _broken(random: Random, stage: Stage) -> Mutation | None:
    net = random.choice(sorted(nets(stage)))
    pins = nets(stage)[net]
    if len(pins) < 2:
        return None
    apart = random.sample(pins, random.randint(1, min(len(pins) - 1, 4)))
    return Mutation((Split(net, tuple(apart)),), frozenset({net}))


MAKERS: tuple[Callable[[Random, Stage], Mutation | None], ...] = (
    _absent,
    _extra,
    _value,
    _kind,
    _turned,
    _moved,
    _bridged,
    _broken,
)


def fitted(stage: Stage) -> list[Part]:
    """Return the parts on the board."""
    return [part for part in stage.parts if part.fitted]


def nets(stage: Stage) -> dict[str, list[Pin]]:
    """Return the nets of the board's parts, with their pins."""
    found: dict[str, list[Pin]] = {}
    for part in fitted(stage):
        for pin, net in part.pins.items():
            if pin not in part.untraced:
                found.setdefault(net, []).append(Pin(part.ref, pin))
    return found


def _same_net(stage: Stage, part: Part, one: str, other: str) -> bool:
    joined = board_of(stage).joined
    return joined[part.pins[one]] == joined[part.pins[other]]


def mutated(random: Random, stage: Stage, count: int) -> Mutated:
    """Return a section with so many differences, of parts and nets of their own."""
    done: list[Mutation] = []
    while len(done) < count:
        made = random.choice(MAKERS)(random, stage)
        if made is None or any(made.touches & one.touches for one in done):
            continue
        pins = _pins(made.changes)
        if any(pins & _pins(one.changes) for one in done):
            continue
        if seen(apply(stage, made.changes)) != seen(stage):
            done.append(made)
    # Breaks and moves first: a pin that has been turned is on another net.
    order = (Cut, Split, Tie, Add, Vary, Become, Permute, Remove)
    done.sort(key=lambda one: order.index(type(one.changes[0])))
    changes = [change for one in done for change in one.changes]
    return Mutated(apply(stage, changes), tuple(one.changes for one in done))


def _pins(changes: Changes) -> set[str]:
    """Return the parts whose pins changes name, by any change but removing."""
    found: set[str] = set()
    for change in changes:
        match change:
            case Cut(pin=pin):
                found.add(pin.part)
            case Split(pins=pins):
                found |= {pin.part for pin in pins}
            case (
                Permute(part=ref) | Become(part=ref) | Remove(part=ref) | Vary(part=ref)
            ):
                found.add(ref)
    return found


def disguised(random: Random, stage: Stage, *, names: bool) -> Stage:
    """Return the same board as another hand would trace it.

    Nets that a bridge joins become one, unless both are anchors; all but anchors get other names, and the
    parts come in another order; without `names` with other designators.
    """
    joined = board_of(stage).joined
    anchors = set(anchored(stage))
    groups: dict[str, set[str]] = {}
    for net, to in joined.items():
        groups.setdefault(to, set()).add(net)
    numbers = random.sample(range(len(joined)), len(joined))
    called = {
        net: min(groups[to] & anchors, default=f"X{numbers[list(groups).index(to)]}")
        for net, to in joined.items()
    }
    called |= {net: net for net in anchors}
    kept = tuple(
        Link(min(groups[joined[net]] & anchors), net, LinkForm.BRIDGE)
        for net in sorted(anchors)
        if net != min(groups[joined[net]] & anchors)
    )
    bare = replace(stage, links=kept, breaks=(), states=(), rests=())
    flat = renamed(bare, called)
    parts = [part for part in flat.parts if part.fitted]
    random.shuffle(parts)
    if not names:
        fresh = random.sample(range(1000, 1999), len(parts))
        parts = [
            replace(part, ref=f"{part.kind.letters[0]}{number}")
            for part, number in zip(parts, fresh, strict=True)
        ]
    return replace(flat, parts=tuple(parts), channels=(), log=())
