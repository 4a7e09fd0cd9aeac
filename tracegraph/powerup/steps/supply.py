"""Step three: what to feed it from, and where to set its limit."""

from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.listing import listed
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.link.bank import nominal
from tracegraph.powerup.link.places import Places
from tracegraph.powerup.record import Step
from tracegraph.powerup.sizing import (
    AGAIN,
    CHIP,
    LEAST,
    current_limit,
    filling_seconds,
    series_lamp,
)
from tracegraph.powerup.words import duration
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Rail

NOTICED = 0.2  # seconds in its limit that are worth a word


def supply(facts: Facts) -> Step:
    """Return the supplies: control rails with their limits, and the lamp."""
    return Step(
        "supply",
        "A supply with a limit",
        do=(*_control(facts), *_inside(facts), *_mains(facts)),
        stop=("a supply that stays in its limit: off, and look for what takes it",),
        unknown=tuple(_unknown(facts)),
    )


def worst_amperes(facts: Facts, rail: Rail) -> tuple[float, str] | None:
    """Return the most that a rail gives, and in which state; None where not solved."""
    found = [(one.amperes.get(rail.net, 0.0), one.state) for one in facts.states]
    return max(found, default=None)


def limit_of(facts: Facts, rail: Rail) -> float | None:
    """Return the current limit to set for a rail, or None where nothing is computed."""
    worst = worst_amperes(facts, rail)
    return current_limit(max(worst[0], 0.0), _chips(facts, rail)) if worst else None


def _chips(facts: Facts, rail: Rail) -> int:
    """Return how many packages hang on a rail by their supply pin."""
    pins = facts.stage.nets.get(rail.net, ())
    found: set[str] = set()
    for pin in pins:
        part = facts.stage.part(pin.part)
        spec = part.kind.pin(pin.name) if part else None
        if part and part.fitted and spec and spec.role == "supply":
            found.add(part.package)
    return len(found)


def _control(facts: Facts) -> Iterator[str]:
    for rail in facts.control:
        volts = rail.volts.typical
        if volts is None:
            continue
        limit = limit_of(facts, rail)
        over = f" over {rail.over}" if rail.over else ""
        if limit is None:
            yield (
                f"{rail.net}: {show(volts, 'V')}{over}, limit {show(LEAST, 'A')} to "
                "begin with; what it takes is not computed: no state is solved"
            )
            continue
        yield f"{rail.net}: {show(volts, 'V')}{over}, limit {show(limit, 'A')}; " + (
            _why(facts, rail)
        )
        filling = _filling(facts, rail, abs(volts), limit)
        if filling:
            yield filling
    if len([one for one in facts.control if one.volts.known]) > 1:
        names = listed([one.net for one in facts.control])
        yield f"{names} come from supplies of their own, isolated, all off before you clip"


def _why(facts: Facts, rail: Rail) -> str:
    amps, state = worst_amperes(facts, rail) or (0.0, "")
    chips = _chips(facts, rail)
    extra = f" and {show(CHIP, 'A')} for each of {chips} chips" if chips > 1 else ""
    extra = f" and {show(CHIP, 'A')} for its chip" if chips == 1 else extra
    return f"{show(max(amps, 0.0), 'A', 2)} computed in {state}{extra}, times {AGAIN:g}"


def _filling(facts: Facts, rail: Rail, volts: float, limit: float) -> str:
    """Return what is seen as the rail's capacitors fill, where that takes a while."""
    caps = Places(facts.stage).across(rail.net, rail.over).every
    known = [one.quantity("c").high for one in caps if one.quantity("c").known]
    seconds = filling_seconds(sum(known), volts, limit)
    if seconds < NOTICED:
        return ""
    names = listed([one.ref for one in caps])
    return f"{rail.net} rests in its limit for {duration(seconds)}: {names} fill"


def _inside(facts: Facts) -> Iterator[str]:
    """Yield how a supply that the board makes by itself is fed from outside."""
    for chip, net in facts.fed_inside:
        if not net:
            continue
        clamp = _clamp(facts, net)
        if clamp is None:
            yield (
                f"{net} feeds {chip.package} and is made on the board: feed it from a "
                f"limited supply, {show(LEAST, 'A')} to begin with, no further than the "
                "data sheet's volts"
            )
            continue
        part, volts = clamp
        yield (
            f"{net} feeds {chip.package} and is made on the board: feed it from a "
            f"limited supply, {show(LEAST, 'A')}, slowly up from 0 V, and stay under "
            f"{show(0.95 * volts, 'V', 2)}, where {part.ref} may begin to take it"
        )


def _clamp(facts: Facts, net: str) -> tuple[Part, float] | None:
    """Return the zener that limits a supply, and the least volts that it does so at."""
    for pin in facts.stage.nets.get(net, ()):
        part = facts.stage.part(pin.part)
        if (
            part
            and part.fitted
            and part.kind.word in {"zener", "tvs"}
            and part.has("vz")
        ):
            volts = part.quantity("vz")
            if volts.typical is not None:
                return part, volts.low
    return None


def _mains(facts: Facts) -> Iterator[str]:
    if facts.mains and not facts.stores:
        return
    if not facts.mains:
        if facts.high:
            names = listed([one.net for one in facts.high])
            yield f"{names} from a supply with a limit, in steps of its own, later"
        return
    if facts.rms is None:
        yield (
            "the power side, later: from an isolated supply for direct current with a "
            "limit, or a variable isolating transformer, from 0 V up; no lamp is worked "
            "out, for its volts are not those of one phase"
        )
        return
    known = [one.farads for one in facts.stores if one.farads and one.farads.known]
    farads = sum(one.high for one in known)
    idle = idle_watts(facts)
    lamp = series_lamp(facts.rms, idle, farads)
    rms = f"{facts.rms:.0f} V"
    if lamp is None:
        yield (
            "the power side, later: from a variable isolating transformer, from 0 V up; "
            "no lamp is great enough to fill the link within seconds"
        )
        return
    rest = (
        f"{show(idle, 'W', 2)} idle leave it dark"
        if idle >= 0.05
        else "at rest it stays dark"
    )
    yield (
        "the power side, later: from a variable isolating transformer, or through an "
        f"isolating transformer and a filament lamp of {lamp:g} W, {rms}, in the lead: "
        f"{rest}, it flashes while the link fills, and into a short it lets no more than "
        f"{show(lamp / facts.rms, 'A', 2)} through. The fuse stays as it is made"
    )
    if len(known) < len(facts.stores):
        yield "what the link holds is not all known: the lamp may glow for longer"


def idle_watts(facts: Facts) -> float:
    """Return what the links' resistors turn into heat at their nominal volts."""
    watts = 0.0
    for link in facts.stores:
        volts = nominal(link)
        if volts and link.bleed and link.bleed.ohms:
            watts += volts**2 / link.bleed.ohms.low
    return watts


def _unknown(facts: Facts) -> Iterator[str]:
    for rail in facts.stage.rails:
        if rail.volts.typical is None:
            yield (
                f"{rail.net} has no volts in the file: give it from 0 V up, no further "
                "than its capacitors, zeners and chips are made for"
            )
    if facts.unsolved:
        yield f"no levels for {listed(facts.unsolved)}: its rails or parts are not known"
    for chip, net in facts.fed_inside:
        if not net:
            yield (
                f"which pin supplies {chip.package} is not known: without it there is "
                "no drive to look at; trace it, or find its data sheet first"
            )
