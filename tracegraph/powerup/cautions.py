"""What stands before a plan, and what stands again with each live step."""

from collections.abc import Iterator

from tracegraph.display import show, written
from tracegraph.listing import listed
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.link.bank import nominal
from tracegraph.powerup.link.record import METER, TOUCH, Link
from tracegraph.powerup.sizing import Resistor, discharge_resistor, meter_rating
from tracegraph.powerup.words import duration
from tracegraph.stage.caution import cautions

SUPPOSED = 1e-3
"""Farads that a discharge resistor is chosen for where nobody knows them: few links of
one board hold more (common practice, no source)."""
RULES = "your local rules and your licence decide who may work on a live board"


def before(facts: Facts) -> Iterator[str]:
    """Yield every caution that stands before the whole plan.

    They are common practice of careful work, and no substitute for the rules that
    hold where the work is done.
    """
    yield from cautions(facts.stage)
    if not facts.dangerous:
        yield (
            "Nothing here is known to stand over 60 V, but what is not in the file may: "
            f"measure before you touch; {RULES}."
        )
        return
    yield (
        f"Work on it live only where you must and may: {RULES}. Not alone, one hand, "
        "clips put on with the power off, and measure before you touch, every time."
    )
    for link in facts.stores:
        yield charge_caution(link)
    if facts.mains and not facts.stores:
        refs = listed([one.device.ref for one in facts.drives])
        yield (
            f"What feeds {refs} is not in the file: take its capacitors as charged, and "
            f"measure them under {show(METER, 'V')} before you touch."
        )
    yield from _isolation(facts)
    yield _meter(facts)
    yield (
        "Goggles on at every first power: capacitors and power devices burst. Direct "
        "current holds an arc: pull no plug and no fuse under load."
    )


def _isolation(facts: Facts) -> Iterator[str]:
    if not facts.mains:
        return
    hot = (
        f"{listed(facts.hot)} may be the mains" if facts.hot else "Parts are the mains"
    )
    yield (
        f"{hot}, whatever its name: never put the earth clip of an earthed scope on it, "
        "nor cut the scope's earth. Use a differential probe made for the volts, also "
        "behind the transformer."
    )
    yield (
        "Feed it through an isolating transformer as long as you probe. Behind that no "
        "residual-current device (RCD) protects you: two points touched at once are "
        "enough. Isolated is not safe."
    )


def _meter(facts: Facts) -> str:
    if facts.contacts and not facts.mains:
        names = listed([one.ref for one in facts.contacts])
        return (
            "Meter, leads and clips: CAT III 300 V at least, for the mains may stand on "
            f"the contacts of {names}."
        )
    volts = highest(facts)
    if volts is None:
        return (
            "Meter, leads and clips: CAT III 600 V at least until the volts are known; "
            "CAT II is for what hangs on a plug, CAT III for fixed wiring."
        )
    rated = meter_rating(volts)
    if rated is None:
        return (
            f"{show(volts, 'V')} is more than ordinary meters and leads are made for: "
            "take a probe that is made for it."
        )
    rated = max(rated, 600.0) if facts.mains else rated
    cat = "CAT III" if facts.mains else "CAT II"
    return (
        f"Meter, leads and clips: {cat} {rated:g} V at least, for {show(volts, 'V')} "
        "(CAT II is for what hangs on a plug, CAT III for fixed wiring)."
    )


def highest(facts: Facts) -> float | None:
    """Return the most volts that the file tells of; None where it does not say."""
    volts = [abs(one.volts.high) for one in facts.stage.rails if one.volts.known]
    for link in facts.stores:
        volts += [one.high for one in (link.volts, *(v for _, v in link.states))]
    known = [one for one in volts if one < float("inf")]
    unwritten = facts.mains and not facts.stores
    return None if unwritten or not known else max(known)


def charge_caution(link: Link) -> str:
    """Return what a link keeps, and how it is made safe."""
    held = _held(link)
    deed = discharge_words(link)
    return f"{link.name} {held}. {deed}"


def _held(link: Link) -> str:
    joules = f", up to {show(link.energy.high, 'J', 2)}" if link.energy else ""
    at = nominal(link)
    volts = f" at {show(at, 'V')}" if at else ""
    charge = f"keeps its charge after switching off{volts and f', {volts[4:]}'}{joules}"
    if link.follows:
        return f"{charge}, and empties only as fast as {link.follows}"
    if link.bleed is None:
        return f"{charge}: no bleed path traced, so treat it as charged"
    if link.bleed.ohms is None:
        names = listed(link.bleed.unknown)
        return f"{charge}: {names} of unknown value, so treat it as charged"
    if link.bleed.rest and not link.bleed.parts:
        rest = "only the rest of the board, as measured"
        return f"{charge}: no bleeder is traced, {rest}, so treat it as charged"
    by = listed(link.bleed.parts) or "what lies across"
    count = len(link.bleed.parts)
    longest = [f"{show(one.volts, 'V')}: {_time(one.longest)}" for one in link.falls]
    if not longest:
        return f"{charge}; {by} should empty it, in a time that is not known"
    verb = "empty" if count > 1 else "empties"
    less = ", not at all with it open" if count == 1 and not link.bleed.rest else ""
    less = ", longer or not at all with one of them open" if count > 1 else less
    return f"{charge}; {by} {verb} it, at worst to {', to '.join(longest)}{less}"


def _time(seconds: float | None) -> str:
    return "not known" if seconds is None else f"after {duration(seconds)}"


def discharge_words(link: Link) -> str:
    """Return how a link is emptied: the resistor, and what to see on the meter."""
    check = (
        f"Meter clipped across it first: under {show(METER, 'V')} before you touch or "
        "measure ohms, and look again a minute later"
    )
    volts, found = _most(link), resistor_of(link)
    if link.follows:
        return f"{check}."
    if found is None:
        return (
            f"{check}. What resistor to discharge it through can't be worked out: how "
            "high it stands is not known."
        )
    known = link.farads is not None and link.farads.known
    why = (
        ""
        if known
        else f" (enough for {show(SUPPOSED, 'F')}; how much it is is not known)"
    )
    seconds = f"{duration(found.seconds)} to {show(METER, 'V')}"
    hold = seconds if known else f"until {show(METER, 'V')} are left"
    return (
        f"{check}. Over {show(TOUCH, 'V')}: discharge it through "
        f"{written(found.ohms, 'ohm')}, {found.watts:g} W wire-wound, made for "
        f"{show(volts, 'V')}, on insulated clips ({show(found.peak, 'W', 2)} at first, "
        f"{hold}){why}, never with a screwdriver."
    )


def resistor_of(link: Link) -> Resistor | None:
    """Return the resistor to discharge a link through, at its greatest charge."""
    volts, farads = _most(link), link.farads
    if not volts or link.follows:
        return None
    known = farads is not None and farads.known
    return discharge_resistor(farads.high if farads and known else SUPPOSED, volts)


def _most(link: Link) -> float:
    """Return the most volts of all states; nothing where none is known."""
    volts = (link.volts, *(one for _, one in link.states))
    return max((one.high for one in volts if one.known), default=0.0)


def live(facts: Facts) -> tuple[str, ...]:
    """Return the cautions of a step with the control supplies alone."""
    if not facts.dangerous:
        return ("Clips on with the power off, then switch on; a slip shorts two pins.",)
    nets = [one.net for one in facts.high]
    dead = listed(nets) or "the power side"
    verb = "stay" if len(nets) > 1 else "stays"
    return (
        (
            f"Control supplies only: the plug stays out and {dead} {verb} dead. Measure that "
            f"(under {show(METER, 'V')}) before you clip on; {RULES}."
        ),
    )


def live_low(facts: Facts, volts: float) -> tuple[str, ...]:
    """Return the cautions of a step with the link at low volts."""
    names = listed([one.name for one in facts.stores])
    return (
        (
            f"The plug stays out: {names} from an isolated supply at {show(volts, 'V')} and "
            f"nothing else. Measure it before you touch; {RULES}."
        ),
        *runaway(facts),
    )


def live_full(facts: Facts) -> tuple[str, ...]:
    """Return the cautions of a step with everything powered."""
    names = listed([one.name for one in facts.stores]) or "the power side"
    verb = "are" if len(facts.stores) > 1 else "is"
    found = [
        (
            f"{names} {verb} live and can kill. Clips on with the power off, one hand, "
            f"nobody touches the board; {RULES}."
        )
    ]
    if facts.mains:
        where = listed(facts.hot) or "the power side"
        found.append(
            "Before the plug goes in, everything of the bench comes off: supplies, "
            f"generator, controller's leads. What stays on {where} is mains, too."
        )
        found.append(
            f"Isolating transformer in front, and no earthed scope on {where}: no RCD "
            "saves you behind it."
        )
    found.append(
        f"Afterwards off, plug out, wait, and the link measured under {show(METER, 'V')} "
        "before you touch."
    )
    return (*found, *runaway(facts))


def runaway(facts: Facts) -> tuple[str, ...]:
    """Return that a boost stage without its loop lifts the link without end."""
    return tuple(
        f"Never drive {one.boost.switch} from the bench with the link unloaded: each "
        f"pulse lifts {one.plus} further, past what its capacitors bear."
        for one in facts.stores
        if one.boost
    )


def both_sides(facts: Facts) -> tuple[str, ...]:
    """Return that the two sides of a half bridge are never on together."""
    packages = [
        one.chip.package for one in facts.drives if one.chip and one.output == "ho"
    ]
    if not packages:
        return ()
    return (
        (
            f"Never both inputs of {' or '.join(dict.fromkeys(packages))} high at once: with "
            "the devices in, that shorts the link."
        ),
    )
