"""From a match to its differences.

They come in the order in which they can be applied: nets are altered while the parts
on them are still the reference's, then parts are turned and replaced. Each can be
applied by itself, too.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from tracegraph.compare.board import LEAK
from tracegraph.compare.comparison import Difference, DifferenceKind
from tracegraph.compare.likeness import other_kind, other_values, pin_names
from tracegraph.compare.match import Fit, Match
from tracegraph.compare.netsteps import NetSteps, Step
from tracegraph.compare.tally import Chunk
from tracegraph.compare.wording import (
    kind_words,
    line_of,
    turned_words,
    value_words,
)
from tracegraph.diagnostics import Span
from tracegraph.listing import listed
from tracegraph.stage.change import Add, Become, Change, Permute, Remove, Tie, Vary
from tracegraph.stage.part import Part
from tracegraph.stage.stage import LinkForm

Differences = tuple[Difference, ...]


def explain(
    match: Match, steps: NetSteps, together: frozenset[Chunk] = frozenset()
) -> Differences:
    """Return every difference of a match.

    Args:
        match: The match.
        steps: Its steps over nets.
        together: Pairs of pins that are told as broken off and joined, not as moved.
    """
    fits = sorted(match.fits.items())
    own = [one for r, fit in fits for one in _of_parts(match, r, fit)]
    return (
        *(one for one in own if _replaces(one)),
        *(_of_step(match, steps, step) for step in steps.steps(together)),
        *_extra(match, steps),
        *(one for one in own if not _replaces(one)),
        *_absent(match),
    )


def _replaces(difference: Difference) -> bool:
    """Return whether it puts in a part by the nets that the reference has it on."""
    return any(isinstance(change, Add) for change in difference.changes)


def _parts(match: Match, r: int, fit: Fit) -> tuple[Part, Part]:
    ground = match.ground
    return ground.reference.pieces[r].part, ground.traced.pieces[fit.traced].part


def _of_parts(match: Match, r: int, fit: Fit) -> Iterator[Difference]:
    """Yield how the part itself differs; it is turned before it is replaced."""
    old, new = _parts(match, r, fit)
    pads = pin_names(old, new)
    turn = {b: pads[a] for a, b in fit.way.pins if b != pads[a]}
    if fit.way.turned:
        names = {b: a for a, b in pads.items()}
        exchanged = {names[b]: names[was] for b, was in turn.items()}
        permute = (Permute(old.ref, MappingProxyType(exchanged)),)
        two = len(turn) == 2 == len(old.kind.pins)
        kind = DifferenceKind.REVERSED if two else DifferenceKind.SWAPPED
        words = turned_words(new, old, turn.items())
        yield _between(kind, old, new, permute, words)
    if other_kind(old, new):
        changes = _other(old, new, {} if fit.way.turned else turn)
        yield _between(DifferenceKind.KIND, old, new, changes, kind_words(new, old))
    elif symbols := other_values(old, new):
        varied = tuple(Vary(old.ref, one, new.given[one]) for one in symbols)
        changes = () if old.kind is LEAK else varied  # a bridge has no designator
        words = value_words(new, old, symbols)
        yield _between(DifferenceKind.VALUE, old, new, changes, words)


def _between(
    kind: DifferenceKind, old: Part, new: Part, changes: tuple[Change, ...], words: str
) -> Difference:
    return Difference(kind, changes, words, new.ref, old.ref, new.written, old.written)


def _other(old: Part, new: Part, turn: Mapping[str, str]) -> tuple[Change, ...]:
    """Return the changes that put a part of another kind on the same pads."""
    if old.kind is new.kind:
        there = replace(new, ref=old.ref, channel=old.channel)
        changes: tuple[Change, ...] = (Remove(old.ref), Add(there.with_pins(old.pins)))
    else:
        kept = {s: q for s, q in new.given.items() if s in new.kind.parameters}
        changes = (Become(old.ref, new.kind.word, MappingProxyType(kept)),)
    return (
        (*changes, Permute(old.ref, MappingProxyType(dict(turn)))) if turn else changes
    )


def _of_step(match: Match, steps: NetSteps, step: Step) -> Difference:
    here = step.chunk[1]
    nets = [step.chunk[0]]
    if step.act == "bridged":
        both = steps.in_order(step.chunk, steps.host[here])
        nets = list(dict.fromkeys(chunk[0] for chunk in both))
    parts = [match.ground.traced.stage.part(pin.new.part) for pin in step.pins[:1]]
    olds = [match.ground.reference.stage.part(pin.old.part) for pin in step.pins[:1]]
    span = parts[0].written if parts and parts[0] else None
    if step.act == "bridged":
        span = _bridge_span(match, here) or span
    return Difference(
        DifferenceKind(step.act),
        step.changes,
        _step_words(steps, step),
        str(step.pins[0].new) if step.act == "moved" else here,
        str(step.pins[0].old) if step.act == "moved" else " ".join(nets),
        span,
        olds[0].written if olds and olds[0] else None,
    )


def _bridge_span(match: Match, net: str) -> Span | None:
    """Return where the traced section tells of a bridge on this net."""
    board = match.ground.traced
    spans = (
        link.span
        for link in board.stage.links
        if link.form is LinkForm.BRIDGE and board.joined[link.a] == net
    )
    return next(spans, None)


def _step_words(steps: NetSteps, step: Step) -> str:
    net, here = step.chunk
    pins = [pin.new for pin in step.pins]
    if step.act == "moved":
        return f"{pins[0]} is on {here} here, on {net} in the reference"
    if step.act == "broken":
        if len(pins) == 1:
            return f"{pins[0]} is off {net} here"
        if not pins:
            return f"{net} is broken here: nothing of it is left on {here}"
        return f"{net} is broken here: {listed(pins)} stand apart"
    away = steps.home[net] != step.chunk
    first, second = steps.in_order(step.chunk, steps.host[here])
    names = str(pins[0]) if away and pins else first[0], second[0]
    also = "" if here in names else f", as {here}"
    return f"{names[0]} and {names[1]} are joined here{also}"


def _extra(match: Match, steps: NetSteps) -> Iterator[Difference]:
    fresh: dict[str, str] = {}
    for t in match.extra():
        part = match.ground.traced.pieces[t].part
        ref = _free_name(match, part.ref)
        pins = {
            pin: _net_for(match, steps, fresh, t, pin, f"{ref}.{pin}")
            for pin in part.pins
        }
        told = _extra_leak if part.kind is LEAK else _extra_part
        yield told(part, ref, pins)


def _extra_part(part: Part, ref: str, pins: Mapping[str, str]) -> Difference:
    add = Add(replace(part, ref=ref, channel="").with_pins(pins))
    words = f"{part.ref} is extra: the reference has no such part"
    kind = DifferenceKind.EXTRA
    return Difference(kind, (add,), words, part.ref, traced_span=part.written)


def _extra_leak(part: Part, _ref: str, pins: Mapping[str, str]) -> Difference:
    a, b = part.pins.values()
    ohms = part.quantity("r").typical or 0.0
    fresh = any(net.startswith(part.ref) for net in pins.values())
    changes = () if fresh else (Tie(pins["1"], pins["2"], ohms),)
    words = f"{a} and {b} are joined here through {ohms:g} ohm"
    kind = DifferenceKind.BRIDGED
    return Difference(kind, changes, words, f"{a} {b}", traced_span=part.written)


def _free_name(match: Match, ref: str) -> str:
    """Return a designator that is free on the reference."""
    before = match.ground.reference.stage.part(ref)
    while before and before.fitted:
        ref += "x"
        before = match.ground.reference.stage.part(ref)
    return ref


def _net_for(
    match: Match, steps: NetSteps, fresh: dict[str, str], t: int, pin: str, own: str
) -> str:
    """Return what the net of an extra part's pin is called on the reference."""
    net = match.ground.traced.pieces[t].pins.get(pin)
    if net is None:
        return own
    return steps.net_there(net) or fresh.setdefault(net, own)


def _absent(match: Match) -> Iterator[Difference]:
    for r in match.absent():
        part = match.ground.reference.pieces[r].part
        if part.kind is LEAK:
            words = f"the {part.ref} of the reference is not here"
            kind = DifferenceKind.BROKEN
            yield Difference(kind, (), words, "", part.ref, None, part.written)
        else:
            yield _missing(match, part)


def _missing(match: Match, part: Part) -> Difference:
    place = match.ground.pads.get(part.ref.lower(), part.ref)
    pads = match.ground.traced.stage.part(place)
    empty = pads is not None and not pads.fitted
    other = place.lower() != part.ref.lower()
    name = f"{place} ({part.ref} in the reference)" if other else part.ref
    if pads is None and (net := _untraced(match, part)):
        words = f"{name} is not here, but not all that hangs on {net} is traced"
        return Difference(
            DifferenceKind.UNKNOWN, (), words, "", part.ref, None, part.written
        )
    return Difference(
        DifferenceKind.ABSENT,
        (Remove(part.ref),),
        f"{name} is missing{line_of(part.written)}",
        place if empty else "",
        part.ref,
        pads.written if pads and empty else None,
        part.written,
    )


def _untraced(match: Match, part: Part) -> str:
    """Return a traced net on which this absent part may yet be found, or nothing."""
    there = {match.ground.reference.joined[net] for net in part.pins.values()}
    board = match.ground.traced
    for net in board.stage.untraced:
        column = match.tally.columns.get(board.joined.get(net, net), {})
        if not there.isdisjoint(column):
            return net
    return ""
