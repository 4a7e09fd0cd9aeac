"""Changes applied to a section: the plain, exact way."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

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
from tracegraph.stage.kind import a
from tracegraph.stage.kinds import find_kind
from tracegraph.stage.part import Part, Pin, Status
from tracegraph.stage.reading import Deed, Event
from tracegraph.stage.rename import FRESH, settle_names
from tracegraph.stage.stage import Link, LinkForm, Stage


class ChangeError(ValueError):
    """A change speaks of a part, pin, net or parameter that the section lacks."""


def apply(
    stage: Stage, changes: Iterable[Change], *, keep_names: bool = False
) -> Stage:
    """Return the section with the changes made, one after the other.

    A pin that was cut, and pins that were split off, come to a fresh net called by
    its first pin. What was called by a pin that has left is called by the next one;
    with `keep_names` every net keeps the name that it had.

    Raises:
        ChangeError: A change speaks of something that the section does not have.
    """
    for change in changes:
        stage = _applied(stage, change)
        if not keep_names:
            stage = settle_names(stage)
    return stage


def happened(stage: Stage, event: Event) -> Stage:
    """Return the section after an event of its log, a cut link among them."""
    if event.deed is Deed.CUT_LINK:
        ends = {stage.net(name) for name in event.target}
        kept = tuple(link for link in stage.links if {link.a, link.b} != ends)
        return replace(stage, links=kept)
    return apply(stage, event.changes)


def _applied(stage: Stage, change: Change) -> Stage:  # noqa: PLR0911 - one a change
    match change:
        case Cut(pin=pin):
            return _moved(stage, (pin,))
        case Split(net=net, pins=pins):
            return _split(stage, net, pins)
        case Tie():
            return _tied(stage, change)
        case Vary(part=ref, symbol=symbol, quantity=quantity):
            part = _with_symbol(stage, ref, symbol)
            return _put(stage, part.with_given(symbol, quantity))
        case Permute(part=ref, pins=pins):
            return _put(stage, _permuted(_part(stage, ref), pins))
        case Become():
            return _put(stage, _become(_part(stage, change.part), change))
        case Remove(part=ref):
            return _removed(stage, ref)
        case Add(part=part):
            return _added(stage, part)


def _part(stage: Stage, ref: str) -> Part:
    part = stage.part(ref)
    if part is None:
        raise ChangeError(f"there is no part {ref} in this section")
    return part


def _put(stage: Stage, part: Part) -> Stage:
    """Return the section with this part in place of the one of its designator."""
    parts = (part if one.ref == part.ref else one for one in stage.parts)
    return replace(stage, parts=tuple(parts))


def _with_symbol(stage: Stage, ref: str, symbol: str) -> Part:
    part = _part(stage, ref)
    if not part.has(symbol):
        raise ChangeError(f"{part.ref} is {a(part.kind.title)} and has no {symbol}")
    return part


def _own_pin(stage: Stage, pin: Pin) -> Pin:
    """Return a pin as its part calls it; one that is not wired yet is allowed."""
    part = _part(stage, pin.part)
    name = pin.name if pin.name in part.pins else part.leg(pin.name)
    if name is None:
        raise ChangeError(
            f"{part.ref} is {a(part.kind.title)} and has no pin {pin.name}"
        )
    return Pin(part.ref, name)


def _moved(stage: Stage, pins: Iterable[Pin]) -> Stage:
    """Return the section with pins taken off their nets, onto one fresh net."""
    own = [_own_pin(stage, pin) for pin in pins]
    for pin in own:
        part = _part(stage, pin.part)
        moved = part.with_pins({**part.pins, pin.name: f"{FRESH}{own[0]}"})
        stage = _put(stage, moved)
    return stage


def _split(stage: Stage, net: str, pins: tuple[Pin, ...]) -> Stage:
    name = _net(stage, net)
    for pin in pins:
        own = _own_pin(stage, pin)
        if own not in stage.nets.get(name, ()):
            raise ChangeError(f"{own} is not on {name}, so it cannot be split off it")
    return _moved(stage, pins)


def _net(stage: Stage, name: str) -> str:
    net = stage.net(name)
    if net is None:
        raise ChangeError(f"there is no net or pin {name} in this section")
    return net


def _tied(stage: Stage, tie: Tie) -> Stage:
    if not tie.ohms >= 0:
        raise ChangeError(f"{tie.ohms} ohm is no resistance for a bridge")
    stage = _wired(_wired(stage, tie.a), tie.b)
    a, b = _net(stage, tie.a), _net(stage, tie.b)
    bridge = Link(a, b, LinkForm.BRIDGE, tie.ohms)
    return stage if a == b else replace(stage, links=(*stage.links, bridge))


def _wired(stage: Stage, name: str) -> Stage:
    """Return the section with a pin that no line placed on a net of its own."""
    ref, _, leg = name.rpartition(".")
    part = stage.part(ref)
    spec = part.kind.pin(leg) if part else None
    if part is None or spec is None or stage.net(name) is not None:
        return stage
    own = {**part.pins, spec.name: f"{part.ref}.{spec.name}"}
    return _put(stage, part.with_pins(own))


def _permuted(part: Part, pins: Mapping[str, str]) -> Part:
    """Return the part with nets exchanged among its pins."""
    if set(pins) != set(pins.values()):
        raise ChangeError(f"{dict(pins)} does not exchange pins of {part.ref}")
    unknown = [name for name in pins if name not in part.pins]
    if unknown:
        raise ChangeError(f"{part.ref} has no pin {unknown[0]} on any net")
    nets = {name: part.pins[pins.get(name, name)] for name in part.pins}
    loose = {name for name in part.pins if pins.get(name, name) in part.untraced}
    return replace(part.with_pins(nets), untraced=frozenset(loose))


def _become(part: Part, change: Become) -> Part:
    """Return another kind on the same pads, pin for pin in the kind's order."""
    kind = find_kind(change.kind)
    if kind is None:
        raise ChangeError(f"there is no kind of part called {change.kind}")
    unknown = [symbol for symbol in change.given if symbol not in kind.parameters]
    if unknown:
        raise ChangeError(f"{a(kind.title)} has no {unknown[0]}")
    old = [spec.name for spec in part.kind.pins if spec.name in part.pins]
    old += [name for name in part.pins if name not in old]
    new = [spec.name for spec in kind.pins] or old
    names = dict(zip(old, new, strict=False))
    return replace(
        part,
        kind=kind,
        pins=MappingProxyType({names[name]: part.pins[name] for name in names}),
        given=MappingProxyType(dict(change.given)),
        untraced=frozenset(names[one] for one in part.untraced if one in names),
        variant=frozenset(),
        numbers=MappingProxyType({}),
        toleranced=frozenset(),
        pinout=True,
        type_number="",
        marked="",
    )


def _removed(stage: Stage, ref: str) -> Stage:
    wanted = ref.lower()
    units = [one for one in stage.parts if one.package.lower() == wanted]
    for part in [stage.part(ref)] if stage.part(ref) else units:
        if part:
            stage = _put(stage, replace(part, status=Status.REMOVED))
    if not units and stage.part(ref) is None:
        raise ChangeError(f"there is no part {ref} in this section")
    return stage


def _added(stage: Stage, part: Part) -> Stage:
    """Return the section with one more part, or with an empty place filled."""
    before = stage.part(part.ref)
    if before and before.fitted:
        raise ChangeError(f"{part.ref} is on the board already")
    own = {f"{part.ref}.{name}".lower() for name in part.pins}
    nets = {
        name: net if net.lower() in own else _net(stage, net)
        for name, net in part.pins.items()
    }
    wired = part.with_pins(nets)
    if before:
        return _put(stage, replace(wired, ref=before.ref))
    return replace(stage, parts=(*stage.parts, wired))
