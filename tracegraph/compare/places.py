"""Where to probe for a difference: the nets it touches, and those beside them."""

from collections.abc import Iterable, Iterator
from itertools import chain, combinations

from tracegraph.compare.comparison import Comparison
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
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage

MOST_TOUCHED = 6
MOST_PAIRS = 28
FEW_PINS = 4  # a part on more leads everywhere, and tells no neighbour

Place = tuple[str, str]


def places(stage: Stage, changes: Iterable[Change]) -> tuple[Place, ...]:
    """Return pairs of nets or pins at which changes may show, the nearest first.

    Pairs among the nets touched; those to their grounds and rails; those to their
    neighbours.
    """
    touched = list(dict.fromkeys(chain.from_iterable(_touched(stage, changes))))
    touched = [one for one in touched if stage.net(one)][:MOST_TOUCHED]
    nets = list(dict.fromkeys(stage.net(one) or one for one in touched))
    grounds = grounds_of(stage)
    fixed = dict.fromkeys(grounds[net] for net in nets if net in grounds)
    fixed |= dict.fromkeys(
        rail.net
        for rail in stage.rails
        for net in nets
        if rail.over == grounds.get(net)
    )
    beside = [net for net in _beside(stage, nets) if net not in fixed]
    pairs = chain(
        combinations(touched, 2),
        ((one, other) for other in fixed for one in touched),
        ((one, other) for one in nets for other in beside),
    )
    found = {
        frozenset(pair): pair for pair in reversed(list(pairs)) if len({*pair}) == 2
    }
    return tuple(reversed(found.values()))[:MOST_PAIRS]


def _touched(stage: Stage, changes: Iterable[Change]) -> Iterator[list[str]]:
    """Yield the nets and pins that each change touches."""
    for change in changes:
        match change:
            case Remove(part=ref) | Vary(part=ref) | Become(part=ref):
                yield _nets(stage.part(ref))
            case Permute(part=ref, pins=pins):
                part = stage.part(ref)
                yield [part.pins[pin] for pin in pins] if part else []
            case Cut(pin=pin):
                yield [str(pin), *_others(stage, stage.net(str(pin)) or "", (pin,))]
                yield _nets(stage.part(pin.part))
            case Split(net=net, pins=pins):
                yield [str(pin) for pin in pins[:2]]
                yield _others(stage, stage.net(net) or net, pins)
                yield [end for pin in pins[:2] for end in _nets(stage.part(pin.part))]
            case Tie(a=a, b=b):
                yield [a, b]
            case Add(part=part):
                yield _nets(part)


def _nets(part: Part | None) -> list[str]:
    return list(dict.fromkeys(part.pins.values())) if part else []


def _others(stage: Stage, net: str, gone: Iterable[Pin]) -> list[str]:
    """Return two pins that stay on a net which others leave."""
    gone = set(gone)
    return [str(pin) for pin in stage.nets.get(net, ()) if pin not in gone][:2]


def _beside(stage: Stage, nets: Iterable[str]) -> list[str]:
    """Return nets that a part of few pins leads to; not those that all lead to."""
    wanted = [net for net in nets if net not in stage.references]
    parts = [
        part
        for net in wanted
        for pin in stage.nets.get(net, ())
        if (part := stage.part(pin.part)) and part.fitted and len(part.pins) <= FEW_PINS
    ]
    found = dict.fromkeys(net for part in parts for net in part.pins.values())
    return [net for net in found if net not in wanted]


def traced_names(
    pair: Place, comparison: Comparison, reference: Stage
) -> tuple[str, str]:
    """Return how two nets or pins of the reference are called in the traced section.

    Two nets that are one there are called by pins that stood on them.
    """
    red, black = (_traced(one, comparison, reference) for one in pair)
    if red != black:
        return red, black
    a, b = (_by_pin(one, comparison, reference) or one for one in pair)
    return a, b


def _traced(place: str, comparison: Comparison, reference: Stage) -> str:
    pin = reference.pin(place)
    if pin and place not in reference.nets:
        return f"{comparison.parts.get(pin.part, pin.part)}.{pin.name}"
    named = comparison.nets.get(place, "")
    return named or _by_pin(place, comparison, reference) or place


def _by_pin(net: str, comparison: Comparison, reference: Stage) -> str:
    """Return a net by a pin on it whose part the traced section has, or empty."""
    pins = reference.nets.get(net, ())
    few = sorted(pins, key=lambda one: len(_nets(reference.part(one.part))))
    for one in few:
        if one.part in comparison.parts:
            return f"{comparison.parts[one.part]}.{one.name}"
    return ""
