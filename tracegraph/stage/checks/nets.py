"""Nets that look like slips of the pen, and rails of which nothing else is known."""

import re
from collections.abc import Iterator

from tracegraph.diagnostics import Problem, Span, doubt
from tracegraph.stage.checks.text import Unread, place_of
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.stage import Stage

_ALIKE = 0.75
_SHORT = 3  # names of so few characters are alike by nature
_HANGING = frozenset({"connector", "testpoint"})


def lonely_nets(stage: Stage, unread: Unread) -> Iterator[Problem]:
    """Yield nets with one pin: a slip of the pen, or not traced yet?"""
    marked = _marked(stage)
    for net, pins in stage.nets.items():
        part = stage.part(pins[0].part) if len(pins) == 1 else None
        if part is None or net in marked or part.kind.word in _HANGING:
            continue
        if unread.has(net) or unread.placed(part):
            continue
        yield _lonely(stage, net, part, pins[0])


def _lonely(stage: Stage, net: str, part: Part, pin: Pin) -> Problem:
    span = place_of(stage, part, net)
    near = next((one for one in stage.nets if _misspelt(net, one)), "")
    if near and len(stage.nets[near]) > 1:
        message = f"Only {pin} is on {net}, and {near} looks much like it."
        return doubt("net-misspelt", message, span, f"Did you mean {near}?")
    message = f"Only {pin} is on {net}."
    hint = f"A slip of the pen? If more hangs there, write `not traced {net}`."
    return doubt("one-pin-net", message, span, hint)


def _marked(stage: Stage) -> set[str]:
    """Return nets of which a line says that something else is there."""
    loose = (str(Pin(one.ref, name)) for one in stage.parts for name in one.untraced)
    parted = (net for one in stage.breaks for net in (one.net, str(one.pin)))
    linked = (net for link in stage.links for net in (link.a, link.b))
    rested = (net for rest in stage.rests for net in (rest.a, rest.b))
    return {
        *(ground.net for ground in stage.grounds),
        *(rail.net for rail in stage.rails),
        *(driven.net for driven in stage.inputs),
        *stage.untraced,
        *stage.unplugged,
        *loose,
        *parted,
        *linked,
        *rested,
    }


def _misspelt(net: str, other: str) -> bool:
    """Return whether a name is probably another one with a slip in it.

    Names that differ in their numbers or signs (N1 and N2, +15 and -15) or in a word
    of one letter or two (U_GATE and V_GATE, HO_U and PH_U) are meant to be alike.
    """
    if net == other or min(len(net), len(other)) <= _SHORT:
        return False
    if re.sub(r"[^\d+-]", "", net) != re.sub(r"[^\d+-]", "", other):
        return False
    words, others = re.split(r"[_/.]", net), re.split(r"[_/.]", other)
    differ = [
        w
        for pair in zip(words, others, strict=False)
        if pair[0] != pair[1]
        for w in pair
    ]
    if len(words) != len(others) or any(len(word) <= 2 for word in differ):
        return False
    from difflib import SequenceMatcher  # only where a net has one pin

    return SequenceMatcher(None, net.lower(), other.lower()).ratio() >= _ALIKE


def unused_nets(stage: Stage, unread: Unread) -> Iterator[Problem]:
    """Yield rails, grounds and inputs that no part goes to."""
    declared: list[tuple[str, Span | None]] = [
        *((one.net, one.span) for one in stage.grounds),
        *((one.net, one.span) for one in stage.rails),
        *((one.net, one.span) for one in stage.inputs),
    ]
    joined = {net for link in stage.links for net in (link.a, link.b)}
    joined |= {net for rest in stage.rests for net in (rest.a, rest.b)}
    joined |= {rail.over for rail in stage.rails}
    for net, span in declared:
        if stage.nets[net] or net in joined or unread.has(net):
            continue
        if stage.parts:
            near = next((one for one in stage.nets if _misspelt(net, one)), "")
            hint = (
                f"Did you mean {near}?"
                if near
                else "Is it written otherwise elsewhere?"
            )
            yield doubt("unused-net", f"No part goes to {net}.", span, hint)


def both_ends(stage: Stage, _unread: Unread) -> Iterator[Problem]:
    """Yield parts whose pins are all on one net."""
    for part in stage.parts:
        nets = set(part.pins.values())
        if len(part.pins) > 1 and len(nets) == 1 and part.kind.pins:
            net = nets.pop()
            message = f"All pins of {part.ref} are on {net}, where it does nothing."
            span = place_of(stage, part, net)
            yield doubt(
                "both-ends-one-net", message, span, "Is one of the ends another net?"
            )


def rails_without_rest(stage: Stage, _unread: Unread) -> Iterator[Problem]:
    """Yield rails whose cold rest of the board was not measured."""
    told = {net for rest in stage.rests for net in (rest.a, rest.b)}
    for rail in stage.rails:
        if rail.net not in told and rail.over:
            message = f"Nothing tells what else hangs on {rail.net}, cold."
            hint = (
                f"Measure {rail.net}-{rail.over} and write `rest {rail.net} -- {rail.over} "
                "1k8`, or none."
            )
            yield doubt("rail-without-rest", message, rail.span, hint)
