"""What is known of a link, in sentences that several pages share."""

from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.listing import listed
from tracegraph.powerup.link.record import (
    PLUG,
    PLUG_SECONDS,
    TOUCH,
    Boost,
    Fall,
    Link,
    Quiet,
)
from tracegraph.powerup.link.trust import longest
from tracegraph.powerup.words import duration, span
from tracegraph.views.reading_words import per_cent

EACH = 100e-6  # farads that a time is told for where the capacitor is not known


def volts_words(link: Link) -> str:
    """Return the volts of a link: as written, and in its states."""
    volts = link.volts
    if volts.typical is None:
        return f"{link.plus} has no volts written"
    limits = f" ({show(volts.low, 'V')} to {show(volts.high, 'V')})"
    if link.mains:
        return f"{show(volts.typical, 'V')} at the crest{limits}"
    states = ", ".join(
        f"{show(one.typical, 'V')} in {name}"
        for name, one in link.states
        if one.typical is not None and one.typical != volts.typical
    )
    return f"{show(volts.typical, 'V')} when powered{limits}" + (
        f"; {states}" if states else ""
    )


def stored_words(link: Link) -> Iterator[str]:
    """Yield what holds the charge, and how much."""
    if not link.capacitors:
        return
    names = " and ".join(link.capacitors)
    if link.farads is None or link.farads.typical is None:
        yield f"{names}: capacitance not known, so neither are energy and time"
        return
    farads = show(link.farads.typical, "F")
    text = f"{names}: {farads} ({span(link.farads.low, link.farads.high, 'F')})"
    if link.energy and link.energy.typical is not None:
        most = show(link.energy.high, "J", 2)
        text += f", {show(link.energy.typical, 'J', 2)} stored, {most} at most"
    elif link.energy:
        text += f", at most {show(link.energy.high, 'J', 2)} stored"
    yield text


def bleed_words(link: Link) -> Iterator[str]:
    """Yield what empties a link, and how long it takes."""
    if link.follows:
        yield (
            f"it empties into {link.follows}, and stands a diode drop above it on the "
            "way down"
        )
    if link.bleed is None:
        return
    bleed = link.bleed
    who = " and ".join(
        one
        for one in (
            listed(bleed.parts),
            "what the rest of the board shows" if bleed.rest else "",
        )
        if one
    )
    ohms = bleed.ohms
    if ohms and ohms.typical is not None:
        yield f"emptied by {who}: {show(ohms.typical, 'ohm')} together"
    elif ohms:
        yield f"emptied by {who}: at most {show(ohms.high, 'ohm')}"
    if bleed.unknown:
        yield f"{listed(bleed.unknown)} not known, so not counted on"
    if bleed.through:
        yield f"with {listed(bleed.through)} open, nothing empties it"
    if not link.falls and ohms and not link.capacitors:
        seconds = longest(link, EACH)
        each = "a time that is not known" if seconds is None else duration(seconds)
        safe = f" to {show(TOUCH, 'V')}" if seconds is not None else ""
        yield f"each {show(EACH, 'F')} on it takes {each}{safe}"
    if link.falls:
        yield ", ".join(fall_words(one) for one in link.falls)
    if link.after is not None:
        yield (
            f"{PLUG_SECONDS:g} s after unplugging {show(link.after, 'V', 2)} are left at "
            f"worst; {show(PLUG, 'V')} are allowed at a plug (IEC 60335-1, 22.5, from "
            "memory)"
        )


def fall_words(fall: Fall) -> str:
    """Return a time to safe volts: `to 60 V in 3 min 48 s, 5 min 14 s at worst`."""
    volts = f"to {show(fall.volts, 'V')}"
    if fall.typical is None and fall.longest is None:
        return f"{volts}: not known"
    if fall.typical is None:
        return f"{volts} in {duration(fall.longest or 0.0)} at worst"
    text = f"{volts} in {duration(fall.typical)}"
    if fall.longest is None:
        return f"{text}, longer at worst: how much is not known"
    return f"{text}, {duration(fall.longest)} at worst"


def boost_words(boost: Boost, plus: str) -> Iterator[str]:
    """Yield what a boost stage has to do, and how much it ripples."""
    where = " at the mains crest, more beside it" if boost.mains else ""
    for one in boost.duties:
        if not one.duty:
            continue
        state = f"in {one.state}, " if one.state else ""
        yield (
            f"{state}{show(one.into, 'V')} to {show(one.out, 'V')} takes a duty of "
            f"{per_cent(one.duty)}{where}"
            + (
                f"; {boost.coil} ripples by {show(one.ripple, 'A')}"
                if one.ripple
                else ""
            )
            + (
                f", and {plus} by {show(one.droop, 'V')} for each ampere of load"
                if one.droop
                else ""
            )
        )
    if boost.duties and boost.hertz is None:
        yield "ripple not told: no input says how often it switches"
    elif boost.duties and not any(one.ripple for one in boost.duties if one.duty):
        yield f"ripple not told: {boost.coil} has no value"


def quiet_words(one: Quiet) -> str:
    """Return when, and why, the gates rightly stay still."""
    return f"{one.when}: {one.why} ({one.basis})"
