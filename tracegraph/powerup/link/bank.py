"""What a link holds, and how long it takes to be rid of it."""

from collections.abc import Callable, Iterator, Sequence
from math import inf

from tracegraph.display import show
from tracegraph.powerup.link.discharge import (
    Held,
    energy,
    left_after,
    seconds_to,
    series_seconds,
)
from tracegraph.powerup.link.mesh import (
    Ohms,
    Path,
    at_least,
    at_most,
    between,
    carrying,
    mesh,
    reduced,
    typically,
)
from tracegraph.powerup.link.places import LOW, Caps, Places, rated_volts
from tracegraph.powerup.link.record import (
    METER,
    PLUG,
    PLUG_SECONDS,
    TOUCH,
    Bleed,
    Fall,
    Link,
)
from tracegraph.quantity import Quantity
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part

_OPENS = frozenset({"fuse", "fusible", "ntc", "ptc", "switch", "thermostat", "relay"})
_TAKES = frozenset({"capacitance", "diode", "winding", "connector", "testpoint"})


def filled(places: Places, link: Link, source: str = "") -> Link:
    """Return a link with its capacitors, energy, bleed path and times.

    Args:
        places: The section.
        link: Its two nets and their volts.
        source: The net before its boost stage, whose capacitors empty into it, too.
    """
    caps = places.across(link.plus, link.minus)
    plus, minus = _terminals(caps, link)
    bleed = _bleed(places, plus, minus)
    farads = _total(caps)
    top = greatest(link, caps)
    told = link._replace(
        capacitors=tuple(one.ref for one in caps.every),
        farads=farads,
        energy=_energy(farads, link, top),
        bleed=bleed,
        leads=tuple(_leads(places, link)),
    )
    if not (caps.every and bleed and bleed.ohms):
        return told
    if source:
        more = places.across(source, link.minus).parts
        caps = caps._replace(parts=(*caps.parts, *more))
    falls = tuple(
        Fall(
            volts,
            _seconds(places, caps, (plus, minus), nominal(link), volts, typically),
            _seconds(places, caps, (plus, minus), top, volts, at_most),
        )
        for volts in ((PLUG, METER) if link.mains else (TOUCH, METER))
    )
    after = None
    if link.mains and top is not None and farads and farads.typical is not None:
        after = left_after(bleed.ohms.high, farads.high, top, PLUG_SECONDS)
    return told._replace(falls=falls, after=after)


def nominal(link: Link) -> float | None:
    """Return the volts of a link as written, else the greatest that a state sets."""
    if link.volts.typical is not None:
        return link.volts.typical
    told = [one.typical for _, one in link.states if one.typical is not None]
    return max(told, default=None)


def greatest(link: Link, caps: Caps) -> float | None:
    """Return the most volts that may stand there: as written, else as rated."""
    volts = (link.volts, *(one for _, one in link.states))
    known = [one.high for one in volts if one.known]
    if known:
        return max(known)
    ratings = [rated_volts(one) for one in caps.parts]
    return max((rated for rated in ratings if rated), default=None)


def _terminals(caps: Caps, link: Link) -> tuple[str, str]:
    """Return the pins of the greatest capacitor: a fuse may stand before it."""
    parts = [one for one in caps.parts if one.quantity("c").known]
    if not parts:
        return link.plus, link.minus
    first = max(parts, key=lambda one: one.quantity("c").typical or 0.0)
    a, b = list(first.pins.values())[:2]
    upright = a == link.plus or b == link.minus or first.kind.word == "electrolytic"
    return (a, b) if upright else (b, a)


def _total(caps: Caps) -> Quantity | None:
    """Return all capacitance as seen from plus and minus."""
    if not caps.every:
        return None
    values = [one.quantity("c") for one in caps.every]
    typical = _farads(caps, lambda one: one.typical)
    known = all(one.known for one in values)
    low, high = _farads(caps, lambda one: one.low), _farads(caps, lambda one: one.high)
    return Quantity(typical if known else None, low or 0.0, high or inf, "F")


def _farads(caps: Caps, of: Callable[[Quantity], float | None]) -> float | None:
    """Return the total of one figure of every capacitor; None where one is missing."""
    found = [
        [of(one.quantity("c")) for one in parts]
        for parts in (caps.parts, caps.upper, caps.lower)
    ]
    if any(one is None for parts in found for one in parts):
        return None
    direct, upper, lower = (sum(one or 0.0 for one in parts) for parts in found)
    if not (upper and lower):
        return direct
    return direct + upper * lower / (upper + lower)


def _energy(farads: Quantity | None, link: Link, top: float | None) -> Quantity | None:
    """Return the joules stored at the greatest volts of all states."""
    if farads is None or farads.typical is None or top is None:
        return None
    start = nominal(link)
    typical = energy(farads.typical, start) if start is not None else None
    low = energy(farads.low, min(link.volts.low, top) if link.volts.known else 0.0)
    return Quantity(typical, min(low, typical or low), energy(farads.high, top), "J")


def _bleed(places: Places, plus: str, minus: str) -> Bleed | None:
    """Return what leads from plus to minus through resistors alone."""
    way = carrying(places.paths, plus, minus)
    if not way:
        return None
    unknown = tuple(one.owner for one in way if one.ohms.typical is None)
    high = between(way, plus, minus, at_most)
    typical = None if unknown else between(way, plus, minus, typically)
    ohms = None
    if high < inf:
        low = between(way, plus, minus, at_least)
        ohms = Quantity(typical, min(low, high), high, "ohm")
    parts = [one.owner for one in way if not one.rest and not _small(one)]
    through = [one for one in map(places.stage.part, (x.owner for x in way)) if one]
    return Bleed(
        tuple(dict.fromkeys(parts)),
        ohms,
        any(one.rest for one in way),
        tuple(dict.fromkeys(unknown)),
        tuple(one.ref for one in through if one.kind.word in _OPENS),
    )


def _small(path: Path) -> bool:
    return path.ohms.typical is not None and path.ohms.typical <= LOW


def _seconds(
    places: Places,
    caps: Caps,
    ends: tuple[str, str],
    start: float | None,
    end: float,
    ohms: Ohms,
) -> float | None:
    """Return when the capacitors have fallen to `end` volts; None where unknown."""
    values = [one.quantity("c") for one in caps.every]
    if start is None or not all(one.known for one in values):
        return None
    way = carrying(places.paths, *ends)
    if ohms is typically and any(one.ohms.typical is None for one in way):
        return None

    def figure(quantity: Quantity) -> float:
        return quantity.high if ohms is at_most else quantity.typical or 0.0

    farads = _farads(caps, figure) or 0.0
    if not caps.middle or caps.parts:
        resistance = between(way, *ends, ohms)
        found = seconds_to(resistance, farads, start, end) if resistance < inf else inf
    else:
        found = series_seconds(_held(way, caps, ends, figure, ohms), start, end)
    return found if found < inf else None


def _held(
    way: Sequence[Path],
    caps: Caps,
    ends: tuple[str, str],
    figure: Callable[[Quantity], float],
    ohms: Ohms,
) -> Held:
    """Return two capacitors in series with what lies across each."""
    plus, minus = ends
    seen = reduced(mesh(way, ohms), (plus, caps.middle, minus))

    def across(a: str, b: str) -> float:
        siemens = seen.get(frozenset((a, b)), 0.0)
        return 1 / siemens if siemens else inf

    upper = sum(figure(one.quantity("c")) for one in caps.upper)
    lower = sum(figure(one.quantity("c")) for one in caps.lower)
    each = across(plus, caps.middle), across(caps.middle, minus)
    return Held((upper, lower), each, across(plus, minus))


def _leads(places: Places, link: Link) -> Iterator[str]:
    """Yield chains of resistors that end where something else takes the current."""
    stage = places.stage
    counted = {one.owner for one in carrying(places.paths, link.plus, link.minus)}
    for first in stage.parts:
        if first.ref in counted or not _resists(first):
            continue
        nets = list(first.pins.values())
        start = next((k for k in (0, 1) if places.head(nets[k]) == link.plus), None)
        if start is None:
            continue
        refs, net = _followed(places, first, nets[1 - start])
        takers = [one.ref for one in _others(places, net, refs) if _takes(one)]
        ended = places.head(net) in {link.plus, link.minus}
        if takers and not ended:
            names = " and ".join(refs)
            verb = "leads" if len(refs) == 1 else "lead"
            much = " and ".join(takers[:3])
            takes = "takes what it may" if len(takers) == 1 else "take what they may"
            total = sum(_ohms(places, ref) for ref in refs)
            value = f" ({show(total, 'ohm')})" if total < inf else ""
            yield f"{names}{value} {verb} to {net}, where {much} {takes}"


def _followed(places: Places, part: Part, net: str) -> tuple[list[str], str]:
    """Return a chain of resistors and the net at its end."""
    refs = [part.ref]
    while True:
        others = list(_others(places, net, refs))
        if len(others) != 1 or not _resists(others[0]):
            return refs, net
        refs.append(others[0].ref)
        a, b = list(others[0].pins.values())[:2]
        net = b if a == net else a


def _others(places: Places, net: str, refs: Sequence[str]) -> Iterator[Part]:
    for ref in dict.fromkeys(pin.part for pin in places.stage.nets.get(net, ())):
        part = places.stage.part(ref)
        if part and part.fitted and ref not in refs:
            yield part


def _resists(part: Part) -> bool:
    if not (part.fitted and job_of(part) == "resistance" and len(part.pins) == 2):
        return False
    ohms = part.quantity("r").typical
    return ohms is None or ohms > LOW


def _takes(part: Part) -> bool:
    return job_of(part) not in {*_TAKES, "resistance"}


def _ohms(places: Places, ref: str) -> float:
    part = places.stage.part(ref)
    typical = part.quantity("r").typical if part else None
    return inf if typical is None else typical
