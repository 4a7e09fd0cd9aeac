"""The last steps: the link at low volts, the device in, then all of it."""

from collections.abc import Iterator
from math import inf

from tracegraph.display import show
from tracegraph.listing import listed
from tracegraph.powerup.cautions import (
    both_sides,
    discharge_words,
    live,
    live_full,
    live_low,
)
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.link.bank import nominal
from tracegraph.powerup.link.places import Places
from tracegraph.powerup.link.quiet import quiet_at_low_link
from tracegraph.powerup.link.record import Link
from tracegraph.powerup.link.taps import taps
from tracegraph.powerup.record import Read, Step
from tracegraph.powerup.sizing import current_limit
from tracegraph.powerup.steps.device import stand_in
from tracegraph.quantity import exact
from tracegraph.stage.part import Part

LOW = 30.0
"""Volts for the first time: under half of what counts as dangerous (practice)."""
SHARES = (0.25, 0.5, 1.0)  # of the nominal volts, one after the other
FITTED = 0.1  # amperes: enough to see a device conduct, too little to kill it


def low_link(facts: Facts) -> Step | None:
    """Return the step with the link at low volts, device still out."""
    if not facts.stores:
        return None
    return Step(
        "low link",
        f"The link at {show(LOW, 'V')}{', device still out' if facts.drives else ''}",
        live=True,
        cautions=live_low(facts, LOW),
        do=tuple(_feeds(facts)),
        read=tuple(_scaled(facts, LOW)),
        need=("the link holds its volts, and the current falls to what is shown",),
        stop=(
            "current that stays: something on the link conducts, with the device out",
        ),
        unknown=tuple(_charged(facts)),
    )


def fitted(facts: Facts) -> Step | None:
    """Return the step with the power device back, at low volts."""
    if not facts.drives:
        return None
    refs = listed([one.device.ref for one in facts.drives])
    where = f", link at {show(LOW, 'V')}" if facts.stores else ""
    return Step(
        "fitted",
        f"{refs} in{where}",
        live=True,
        cautions=(
            "Off, and every capacitor on a rail measured empty, before you solder.",
            *(live_low(facts, LOW) if facts.stores else live(facts)),
            *both_sides(facts),
        ),
        do=tuple(_fit(facts, refs)),
        need=("no current with the gate down; with the drive on, what the load takes",),
        stop=("current with the gate down, or a device that warms within seconds",),
        unknown=tuple(_not_planned(facts)),
    )


def full(facts: Facts) -> Step | None:
    """Return the step up to full volts, or None where there is nothing above."""
    if not facts.stores:
        return None
    return Step(
        "full",
        "Up to full volts",
        live=True,
        cautions=live_full(facts),
        do=tuple(_up(facts)),
        read=tuple(_nominal(facts)),
        need=("every level as shown, and the lamp dark, before the lamp comes out",)
        if facts.rms
        else ("every level as shown at each step",),
        stop=(
            "a lamp that stays bright" if facts.rms else "a current that jumps",
            "a link over its nominal volts, a noise, a smell, a hot part",
        ),
    )


def _feeds(facts: Facts) -> Iterator[str]:
    for link in facts.stores:
        if link.boost and _source(facts, link):
            continue
        amps = LOW / link.bleed.ohms.low if link.bleed and link.bleed.ohms else 0.0
        limit = show(current_limit(amps, 0), "A")
        rest = f"then {show(amps, 'A', 2)}" if amps else "then hardly any current"
        yield (
            f"plug out; feed {link.name} with {show(LOW, 'V')} from an isolated supply, "
            f"limit {limit}, {rest}"
        )
    for link in facts.stores:
        if link.boost and _source(facts, link):
            way = f"{link.boost.coil} and {link.boost.diode}"
            yield f"{link.plus} follows by itself through {way}, a diode drop lower"


def _source(facts: Facts, link: Link) -> bool:
    return any(one.follows == link.plus for one in facts.stores)


def _scaled(facts: Facts, volts: float) -> Iterator[Read]:
    """Yield what the chains across a link show at low volts, through the meter."""
    places = Places(facts.stage)
    for link in facts.stores:
        low = link._replace(volts=exact(volts, "V"), states=())
        yield Read(link.plus, link.minus, "volts", show(volts, "V"))
        for tap in taps(places, low):
            if tap.sense:
                why = "through a meter of 10 M"
                yield Read(tap.net, tap.over, "volts", show(tap.shown, "V"), why=why)


def _charged(facts: Facts) -> Iterator[str]:
    for link in facts.stores:
        yield from (
            f"{one}, so it is not counted on as a bleeder" for one in link.leads
        )
    for quiet in quiet_at_low_link(facts.link.links, facts.drives):
        yield f"at {show(LOW, 'V')} no pulses may be no fault: {quiet.why}"


def _not_planned(facts: Facts) -> Iterator[str]:
    if facts.mains and not facts.stores:
        refs = listed([one.device.ref for one in facts.drives])
        yield (
            f"what feeds {refs} is not in the file, so the plan ends here: trace it as "
            "far as its capacitors, and ask again before the mains"
        )


def _fit(facts: Facts, refs: str) -> Iterator[str]:
    missing = [one.ref for one in facts.named() if _no_value(one)]
    if missing:
        yield f"not before {listed(missing)} is known and right"
    if any(stand_in(one.device) for one in facts.drives):
        yield f"take the stand-in out, fit {refs}, gate resistors back in place"
    else:
        yield f"fit {refs}"
    yield "measure gate to source once more, cold, as in the first step"
    if facts.control or facts.fed_inside:
        yield "control supplies on first, the link after; off the other way round"
    if facts.stores:
        yield f"link at {show(LOW, 'V')}, limit {show(FITTED, 'A')}, drive off first"
    yield "then the drive on, at its least duty, watching the current"


def _no_value(part: Part) -> bool:
    value = part.kind.value
    return bool(value) and part.has(value) and not part.quantity(value).known


def _up(facts: Facts) -> Iterator[str]:
    yield f"clips on {listed([one.name for one in facts.stores])}, power off"
    if facts.rms:
        yield "isolating transformer and lamp, or variable transformer, as chosen above"
    shown = [
        f"{link.plus} at " + listed([show(share * volts, "V", 2) for share in SHARES])
        for link in facts.stores
        if (volts := nominal(link)) and not link.boost
    ]
    if shown:
        how = "with a variable transformer or supply in steps"
        yield f"{how}: {'; '.join(shown)}; a minute at each"
    for link in facts.stores:
        if link.boost:
            yield (
                f"let {link.plus} charge through {link.boost.diode} first; only then the "
                "controller, and with a load on it"
            )
    if facts.rms:
        yield "lamp out only when all of it is as shown; under load it may well glow"
    yield "afterwards off, plug out, wait"
    for link in facts.stores:
        if not link.follows:
            yield f"{link.name}: {_lower(discharge_words(link)).rstrip('.')}"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _nominal(facts: Facts) -> Iterator[Read]:
    for link in facts.stores:
        volts = link.volts
        if volts.typical is not None and volts.high < inf:
            shows = f"{show(volts.low, 'V')} to {show(volts.high, 'V')}"
            yield Read(link.plus, link.minus, "volts", shows, volts.low, volts.high)
        for tap in link.taps:
            if tap.sense:
                why = f"through a meter of 10 M, {show(tap.volts, 'V')} without"
                yield Read(tap.net, tap.over, "volts", show(tap.shown, "V"), why=why)
