"""What a section loses by a difference, in the trade's words; empty if not known."""

from collections.abc import Mapping
from dataclasses import replace

from tracegraph.compare.comparison import Comparison, Difference
from tracegraph.stage.alter import ChangeError, apply
from tracegraph.stage.change import (
    Become,
    Change,
    Cut,
    Permute,
    Remove,
    Split,
    Tie,
    Vary,
)
from tracegraph.stage.duties.around import NO_NAMES, Around, both_ways
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.every import duty
from tracegraph.stage.jobs import drain_of, job_of
from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

_ONE_WAY = frozenset({"diode", "clamp"})
_BURSTS = frozenset({"electrolytic", "tantalum"})


def losses(comparison: Comparison, reference: Stage) -> tuple[str, ...]:
    """Return for every difference what the traced section loses by it.

    The words carry the names of the traced section where it has them.
    """
    names = {**comparison.nets, **comparison.parts}
    return tuple(loss(one, reference, names) for one in comparison.differences)


def loss(
    difference: Difference, reference: Stage, names: Mapping[str, str] = NO_NAMES
) -> str:
    """Return what is lost by one difference; empty where nothing is known.

    Args:
        difference: The difference, its changes in the reference's names.
        reference: The reference.
        names: How its parts and nets are called in the words.
    """
    around = Around(reference, names)
    changes = difference.changes
    if any(isinstance(one, Cut | Split) for one in changes):
        # a pin that has moved: what it lost counts, not where it went
        changes = tuple(one for one in changes if not isinstance(one, Tie))
    after = _after(reference, difference)
    said = [
        _lost(around, change)
        for change in changes
        if not (after and _still_does(around, after, change))
    ]
    return "; ".join(dict.fromkeys(one for one in said if one))


def _after(reference: Stage, difference: Difference) -> Around | None:
    """Return the reference with a difference made, or None where it can't be."""
    try:
        stage = apply(reference, difference.changes, keep_names=True)
    except ChangeError:
        return None
    joined = {
        fresh: kept
        for link in stage.links
        for fresh, kept in ((link.a, link.b), (link.b, link.a))
        if link.ohms == 0.0 and fresh not in reference.nets
    }
    parts = tuple(
        part.with_pins({pin: joined.get(net, net) for pin, net in part.pins.items()})
        for part in stage.parts
    )
    return Around(replace(stage, parts=parts))


def _still_does(before: Around, after: Around, change: Change) -> bool:
    """Return whether a part that stands otherwise does what it did: nothing is lost."""
    match change:
        case Cut(pin=pin) | Split(pins=(pin,)):
            ref = pin.part
        case Become(part=ref):
            pass
        case _:
            return False
    _, was = _found(before, ref)
    _, now = _found(after, ref)
    return was is not None and now is not None and was.name == now.name


def _lost(around: Around, change: Change) -> str:  # noqa: PLR0911 - one a change
    match change:
        case Remove(part=ref):
            return _gone(around, ref)
        case Cut(pin=pin):
            return _gone(around, pin.part)
        case Split(pins=pins):
            refs = dict.fromkeys(pin.part for pin in pins)
            return _gone(around, next(iter(refs))) if len(refs) == 1 else ""
        case Vary():
            return _varied(around, change)
        case Become(part=ref):
            return _gone(around, ref)
        case Permute(part=ref):
            return _turned(around, ref)
        case Tie():
            return _tied(around, change)
    return ""


def _found(around: Around, ref: str) -> tuple[Part | None, Duty | None]:
    part = around.stage.part(ref)
    return part, duty(around, part) if part else None


def _gone(around: Around, ref: str) -> str:
    _, known = _found(around, ref)
    return f"no {known.name}: {known.lost}" if known else ""


def _varied(around: Around, change: Vary) -> str:
    """Say what another value does, by the side that it is off to."""
    part, known = _found(around, change.part)
    if part is None or known is None or change.symbol != part.kind.value:
        return ""
    was, now = part.quantity(change.symbol).typical, change.quantity.typical
    if was is None or now is None:
        return ""
    said = known.more if now > was else known.less
    return (
        f"{known.name} too {'great' if now > was else 'small'}: {said}" if said else ""
    )


def _turned(around: Around, ref: str) -> str:
    """Say what a part does the other way round."""
    part, known = _found(around, ref)
    if part is None:
        return ""
    if part.kind.word in _BURSTS:
        return f"{around.called(ref)} fails, and may burst, as soon as it is powered"
    shorts = _shorts(around, part)
    if shorts and known:
        return f"no {known.name}; {shorts}"
    return f"no {known.name}: {known.lost}" if known else shorts


def _shorts(around: Around, part: Part) -> str:
    """Say what a diode shorts when it stands the other way round between supplies."""
    if job_of(part) not in _ONE_WAY or TWO_WAY in part.variant or len(part.pins) != 2:
        return ""
    for near, far in both_ways(part):
        if near in around.rails and far in around.grounds:
            return f"it shorts {around.called(near)} as soon as it is powered"
    low = part.pins.get("a", "")
    switch = around.at(low, part, ("power switch", "npn"), ("d", "c"))
    if switch and part.pins.get("k") in around.rails:
        name = around.called(switch.ref)
        return f"{name} shorts the rail through it as soon as it turns on"
    return ""


def _tied(around: Around, tie: Tie) -> str:
    """Say what a bridge shorts."""
    a, b = (around.stage.net(end) or end for end in (tie.a, tie.b))
    rails = {a, b} & around.rails
    if rails and {a, b} & around.grounds:
        return f"it shorts {rails.pop()} as soon as it is powered"
    for part in around.stage.parts:
        said = _bridged(around, part, {a, b}) if part.fitted else ""
        if said:
            return said
    across = (one for one in around.stage.parts if set(one.pins.values()) == {a, b})
    known = ((one, duty(around, one)) for one in across if one.fitted)
    for part, found in known:
        if found:
            name = around.called(part.ref)
            return f"it bridges {name}, the {found.name}"
    return ""


def _bridged(around: Around, part: Part, nets: set[str]) -> str:
    """Say what a bridge between two pins of a power device or transistor does."""
    control, source = part.pins.get("g", part.pins.get("b")), part.pins.get("s")
    source = source or part.pins.get("e")
    if control is None or source is None:
        return ""
    name = around.called(part.ref)
    if nets == {control, source}:
        return f"{name} can't turn on"
    if nets == {drain_of(part), source}:
        return f"{name} is bridged: it conducts always"
    return ""
