"""What a section leaves open, and the usual things that it may turn out to be.

A cold rail is neither a source nor open: what hangs on it is unknown until measured.
The same holds for inputs, connector pins, chips' pins, unreadable values, unknown
pinouts, untraced nets and beeps that are not yet trusted as wires. Each is a list of
alternatives, and every alternative is a tuple of changes to the section.
"""

from collections.abc import Iterator
from itertools import permutations
from math import inf, sqrt
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.display import show
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.branch import Junction
from tracegraph.stage.change import Add, Change, Permute, Remove, Tie, Vary
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.stage import Stage

REST_OHMS = 1e3  # usual rest of a rail: 200 ohm to 100 kohm; common practice, no source
FAINT_OHMS = 100e3
UNTRACED_OHMS = (100.0, 10e3)  # an untraced net: 100 ohm to open, to ground and rails
BEEP_OHMS = 40.0  # most that a beep may hide with the usual meter
GUESSES = (100.0, 1e3, 10e3, 100e3)  # between short and open, for an unread resistor


class Alternative(NamedTuple):
    """One thing that an unknown may be.

    Attributes:
        words: What it would be: `1 kΩ`, `nothing else`, `1=c 2=b 3=e`.
        changes: What it does to the section.
        share: How usual it is, 0 to 1.
    """

    words: str
    changes: tuple[Change, ...]
    share: float


class Unknown(NamedTuple):
    """Something that the section leaves open.

    Attributes:
        subject: What is open: `R15`, `what else hangs on P12`.
        alternatives: What it may be, the most usual first.
        ask: The one thing to do about it.
        linear: Whether every alternative is a plain resistance that may be there.
    """

    subject: str
    alternatives: tuple[Alternative, ...]
    ask: str
    linear: bool = False


def unknowns(stage: Stage) -> tuple[Unknown, ...]:
    """Return everything that a section leaves open for cold readings."""
    return (
        *_rests(stage),
        *_values(stage),
        *_pinouts(stage),
        *_chips(stage),
        *_untraced(stage),
        *_beeps(stage),
    )


def rests_asked(stage: Stage) -> tuple[tuple[str, str], ...]:
    """Return the pairs whose `rest` is not known yet: rails first, then plugs."""
    rails = [(one.net, one.over) for one in stage.rails if one.over]
    plugs = [(net, stage.grounds[0].net) for net in _plugged(stage) if stage.grounds]
    return tuple(pair for pair in (*rails, *plugs) if not _rested(stage, *pair))


def _rested(stage: Stage, net: str, ground: str) -> bool:
    """Return whether a `rest` line settles what hangs on a net."""
    return any({rest.a, rest.b} == {net, ground} for rest in stage.rests)


def _plugged(stage: Stage) -> list[str]:
    """Return nets at inputs and connector pins of which nothing else is said."""
    settled = {*stage.references, *stage.unplugged}
    pins = [
        net
        for part in stage.parts
        if part.kind.word == "connector" and part.fitted
        for net in part.pins.values()
    ]
    nets = dict.fromkeys([*(one.net for one in stage.inputs), *pins])
    return [net for net in nets if net not in settled]


def _rests(stage: Stage) -> Iterator[Unknown]:
    rails = {rail.net for rail in stage.rails}
    inputs = {one.net for one in stage.inputs}
    for net, ground in rests_asked(stage):
        ask = f"measure {net}-{ground} and write `rest {net} -- {ground} ...`"
        if net in rails:
            yield Unknown(f"what else hangs on {net}", _loads(net, ground), ask)
            continue
        subject = (
            f"what drives {net}" if net in inputs else f"what is plugged in on {net}"
        )
        ask += f", or `nothing on {net}` if its plug is out"
        yield Unknown(subject, _plug(net, ground), ask)


def _loads(net: str, ground: str) -> tuple[Alternative, ...]:
    """Return what usually hangs on a rail."""
    chip = Add(_junction(f"chip on {net}", ground, net))
    faint = (Tie(net, ground, FAINT_OHMS), chip)
    return (
        Alternative("1 k", (Tie(net, ground, REST_OHMS),), 0.5),
        Alternative("100 k and a chip's junction", faint, 0.3),
        Alternative("nothing else", (), 0.2),
    )


def _plug(net: str, ground: str) -> tuple[Alternative, ...]:
    """Return what usually stands behind an input or a plug: a chip's pin, or nothing.

    The chip's own supply is not in the section; it has the usual rest.
    """
    over = f"chip behind {net}, upper"
    pin = (
        Add(_junction(f"chip behind {net}, lower", ground, net)),
        Add(_junction(over, net, f"{over}.k")),
        Tie(f"{over}.k", ground, REST_OHMS),
    )
    return Alternative("a chip's pin", pin, 0.6), Alternative("nothing", (), 0.4)


def _junction(ref: str, anode: str, cathode: str) -> Part:
    """Return a chip's usual cold junction as a part of its own."""
    return Part(ref, KINDS["diode"], MappingProxyType({"a": anode, "k": cathode}))


def _values(stage: Stage) -> Iterator[Unknown]:
    for part in stage.parts:
        for symbol, quantity in part.given.items():
            if quantity.typical is None and part.fitted:
                yield Unknown(
                    part.ref,
                    tuple(_guesses(part, symbol, quantity)),
                    f"read {part.ref} with a leg lifted, and write its value",
                    linear=quantity.unit == "ohm",
                )


def _guesses(part: Part, symbol: str, quantity: Quantity) -> Iterator[Alternative]:
    """Yield an unknown value's ends and a few values between, the middle ones first."""

    def at(value: float, share: float) -> Alternative:
        words = f"{part.ref} {show(value, quantity.unit)}"
        return Alternative(
            words, (Vary(part.ref, symbol, exact(value, quantity.unit)),), share
        )

    low, high = quantity.low, quantity.high
    if quantity.unit == "ohm":
        inside = sorted((x for x in GUESSES if low < x < high), reverse=True)
        middle = inside or [sqrt(low * high)]
    else:
        middle = [sqrt(low * high)] if low > 0 and high < inf else []
    ends = [x for x in (low, high) if 0 < x < inf]
    for value in [*middle, *ends]:
        yield at(value, 0.8 / len([*middle, *ends]))
    if quantity.unit == "ohm" and low == 0.0:
        yield Alternative(f"{part.ref} shorted", (_shorted(part),), 0.1)
    if high == inf or not (middle or ends):
        yield Alternative(f"{part.ref} open", (Remove(part.ref),), 0.1)


def _shorted(part: Part) -> Tie:
    a, b = list(part.pins.values())[:2]
    return Tie(a, b, 0.0)


def _pinouts(stage: Stage) -> Iterator[Unknown]:
    for part in stage.parts:
        if not part.pinout and part.fitted and len(part.pins) <= 4:
            names = tuple(part.pins)
            orders = list(permutations(names))
            alternatives = [
                Alternative(
                    f"{part.ref} "
                    + " ".join(
                        f"{p}={part.pins[q]}" for p, q in zip(names, order, strict=True)
                    ),
                    (
                        Permute(
                            part.ref,
                            MappingProxyType(dict(zip(names, order, strict=True))),
                        ),
                    ),
                    1 / len(orders),
                )
                for order in orders
            ]
            ask = f"find {part.ref}'s pinout (six diode readings over its legs)"
            yield Unknown(f"the pinout of {part.ref}", tuple(alternatives), ask)


def _chips(stage: Stage) -> Iterator[Unknown]:
    """Yield chips whose cold pins are the usual ones, not known ones."""
    for part in stage.parts:
        if part.fitted and _only_guessed(part):
            yield Unknown(
                f"the inside of {part.ref}",
                (
                    Alternative(f"{part.ref} as chips usually are", (), 0.8),
                    Alternative(
                        f"{part.ref} open at its pins", (Remove(part.ref),), 0.2
                    ),
                ),
                f"measure {part.ref}'s pins on a known-good board",
            )


def _only_guessed(part: Part) -> bool:
    branches = part.kind.cold(part)
    junctions = [one for one in branches if isinstance(one, Junction)]
    return bool(junctions) and all(one.family == "pin" for one in junctions)


def _untraced(stage: Stage) -> Iterator[Unknown]:
    """Yield nets and pins on which more may hang: 100 ohm to open, to each reference."""
    pins = [
        Pin(part.ref, name) for part in stage.parts for name in sorted(part.untraced)
    ]
    nets = [*stage.untraced, *(_net_of(stage, pin) for pin in pins)]
    targets = stage.references
    for net in dict.fromkeys(nets):
        paths = [
            Alternative(
                f"{show(ohms, 'ohm')} from {net} to {target}",
                (Tie(net, target, ohms),),
                0.4 / len(targets) / 2,
            )
            for target in targets
            if target != net
            for ohms in UNTRACED_OHMS
        ]
        none = Alternative(f"nothing more on {net}", (), 0.6)
        yield Unknown(
            f"what else hangs on {net}",
            (none, *paths),
            f"trace {net} further",
            linear=True,
        )


def _net_of(stage: Stage, pin: Pin) -> str:
    part = stage.part(pin.part)
    return part.pins.get(pin.name, str(pin)) if part else str(pin)


def _beeps(stage: Stage) -> Iterator[Unknown]:
    for link in stage.links:
        if not link.trusted:
            yield Unknown(
                f"the beep {link.a}-{link.b}",
                (
                    Alternative("a wire", (Tie(link.a, link.b, 0.0),), 0.7),
                    Alternative(
                        show(BEEP_OHMS, "ohm"), (Tie(link.a, link.b, BEEP_OHMS),), 0.3
                    ),
                ),
                f"measure {link.a}-{link.b} in ohms, then write `link {link.a} {link.b}`",
                linear=True,
            )
