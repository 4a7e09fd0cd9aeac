"""What a person must do before putting a probe on a section that lives on the mains."""

import re
from collections.abc import Iterator
from math import isfinite

from tracegraph.stage.stage import Rail, Stage

# Above this a rail can hurt: the usual limit of safety extra-low voltage for direct
# current (IEC 62368-1 and its forerunners; from memory).
HARMFUL_VOLTS = 60.0
# A part built for so much seldom stands on a low rail: common practice, no source.
HIGH_RATING = 200.0
_MAINS = re.compile(r"\b(mains|line voltage|live|rectified)\b", re.IGNORECASE)
FEW = 2  # reasons that are named
_LIVE = (
    "A live board: one hand, insulated tips, the meter set to volts before the tips "
    "touch, nothing moved while it is on."
)
POWERED_READING = (
    "A reading marked as powered is taken on the live board: only where your local "
    "rules and your licence allow it, with the probes clipped on before the power is."
)
_EARTH = (
    "The earth clip of a scope is mains earth: on {net} of this board it may short the "
    "mains through scope and board. Feed the board through an isolating transformer or "
    "use a differential probe; never lift the scope's own earth. Clip on with the power "
    "off and the link discharged, with a probe rated for these volts."
)
_MOVING = (
    "{net} is no ground: it may move with the switching or stand at a rail. No earth "
    "clip there, only a differential probe rated for it."
)


def cautions(stage: Stage) -> tuple[str, ...]:
    """Return what to do before probing, one line, or nothing for a harmless section.

    A rail over 60 V, a bridge rectifier, relay contacts, a part rated for 200 V or
    more, or a text that speaks of mains make a section a dangerous one. A section
    that shows none of them may still be one.
    """
    found = [*_rails(stage), *_parts(stage), *_words(stage)][:FEW]
    if not found:
        return ()
    deed = f"Unplug, discharge, and measure {_link(stage)} before probing"
    rules = "your local rules and licence decide who may work on a live board"
    return (f"{' and '.join(found)}. {deed}; {rules}.",)


def volts_cautions(stage: Stage) -> tuple[str, ...]:
    """Return what to heed before volts are measured on the powered board."""
    found = cautions(stage)
    return (*found, _LIVE) if found else ()


def scope_cautions(stage: Stage, net: str) -> tuple[str, ...]:
    """Return what to heed before a scope's earth clip goes on a net."""
    found = [*cautions(stage)]
    if found:
        found.append(_EARTH.format(net=net))
    if net not in {one.net for one in stage.grounds}:
        found.append(_MOVING.format(net=net))
    return tuple(found)


def harmful(rail: Rail) -> bool:
    """Return whether a rail stands at more than 60 V, either way."""
    return max(abs(rail.volts.low), abs(rail.volts.high)) > HARMFUL_VOLTS


def _rails(stage: Stage) -> Iterator[str]:
    for rail in stage.rails:
        if harmful(rail):
            volts = rail.volts.typical or rail.volts.high
            known = f"{rail.net} stands at {volts:g} V when powered"
            yield known if isfinite(volts) else f"{rail.net} may stand at any voltage"


def _parts(stage: Stage) -> Iterator[str]:
    """Yield what parts tell of the mains: bridges first, then contacts and ratings."""
    fitted = [part for part in stage.parts if part.fitted]
    yield from (
        f"{one.ref} may rectify the mains"
        for one in fitted
        if one.kind.word == "bridge"
    )
    for one in fitted:
        if one.kind.word in {"relay", "triac"} and not {"com", "mt1"}.isdisjoint(
            one.pins
        ):
            yield f"{one.ref} may switch the mains"
    for one in fitted:
        rated = one.rated("V")
        if rated and rated.high >= HIGH_RATING:
            yield f"{one.ref} is made for {rated.high:g} V"


def _words(stage: Stage) -> Iterator[str]:
    texts = (stage.title, *stage.notes, *(part.note for part in stage.parts))
    word = next((found for text in texts if (found := _MAINS.search(text))), None)
    if word:
        yield f"The file speaks of {word.group().lower()}"


def _link(stage: Stage) -> str:
    """Return between which nets the energy is stored."""
    rail = next((rail for rail in stage.rails if harmful(rail)), None)
    if rail:
        return f"{rail.net} to {rail.over}" if rail.over else rail.net
    bridge = next((one for one in stage.parts if one.kind.word == "bridge"), None)
    if bridge and {"+", "-"} <= set(bridge.pins):
        return f"{bridge.pins['+']} to {bridge.pins['-']}"
    return "what may hold a charge"
