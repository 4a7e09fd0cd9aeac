"""Every link of a section, with what it holds and how it empties."""

from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple

from tracegraph.powerup.link.bank import filled
from tracegraph.powerup.link.boost import boosts, volts_of, with_duties
from tracegraph.powerup.link.doubts import doubts
from tracegraph.powerup.link.places import FILM, Places, rated_volts
from tracegraph.powerup.link.quiet import quiet
from tracegraph.powerup.link.record import Boost, DcLink, Link
from tracegraph.powerup.link.taps import taps
from tracegraph.quantity import Quantity, unknown
from tracegraph.stage.caution import HARMFUL_VOLTS
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state

HIGH_RATING = 160.0
"""Volts from which an electrolytic seldom stands elsewhere than across rectified mains
or a link above it: common practice, no source."""


class _Place(NamedTuple):
    """Where a link is.

    Attributes:
        plus: The net above.
        minus: The net below.
        mains: Whether it is a capacitor across the mains.
        boost: The stage that feeds it, or None.
    """

    plus: str
    minus: str
    mains: bool = False
    boost: Boost | None = None


def dc_link(stage: Stage) -> DcLink:
    """Return every link of a section, and when no gate drive is to be expected.

    Links are rails over 60 V, what stands behind a rectifier or a boost stage, an
    electrolytic made for so much, and capacitors across the mains.
    """
    places = Places(stage)
    links = [_told(places, place) for place in _places(places)]
    links = [_followed(places, one, links) for one in links]
    links.sort(
        key=lambda one: (one.mains, -_joules(one))
    )  # what holds most comes first
    return DcLink(tuple(links), tuple(dict.fromkeys(quiet(stage, links))))


def _joules(link: Link) -> float:
    """Return the energy for sorting; what is not known comes first."""
    return link.energy.high if link.energy else inf


def _followed(places: Places, link: Link, links: Sequence[Link]) -> Link:
    """Return a link that empties into the one its boost stage feeds, told so."""
    for one in links:
        if one.boost and places.head(one.boost.source) == places.head(link.plus):
            return link._replace(follows=one.plus, falls=one.falls)
    return link


def _told(places: Places, place: _Place) -> Link:
    """Return all that is known of one link."""
    stage, plus, minus = places.stage, place.plus, place.minus
    volts, states = _volts(places, place)
    link = Link(plus, minus, place.mains, volts, states, tuple(_fed(places, place)))
    link = filled(places, link, place.boost.source if place.boost else "")
    if not place.mains:
        link = link._replace(taps=taps(places, link))
    if place.boost:
        farads = link.farads.typical if link.farads else None
        link = link._replace(boost=with_duties(places, place.boost, plus, farads))
    return link._replace(doubts=(*link.doubts, *doubts(stage, link)))


def _places(places: Places) -> Iterator[_Place]:
    """Yield where links are, each pair of nets once."""
    seen: set[frozenset[str]] = set()
    lifted = {
        frozenset((places.head(plus), places.head(minus))): boost
        for boost, plus, minus in boosts(places)
    }
    for one in (*_rails(places), *_outputs(places), *_rated(places), *_mains(places)):
        key = frozenset((places.head(one.plus), places.head(one.minus)))
        if key not in seen and len(key) == 2:
            seen.add(key)
            yield one._replace(boost=None if one.mains else lifted.get(key))


def _rails(places: Places) -> Iterator[_Place]:
    stage = places.stage
    sections = (stage, *(in_state(stage, one.name) for one in stage.states))
    for rail in stage.rails:
        volts = [
            one.volts for each in sections for one in each.rails if one.net == rail.net
        ]
        known = [one for one in volts if one.known]
        if any(max(abs(one.low), abs(one.high)) > HARMFUL_VOLTS for one in known):
            below = known[0].typical is not None and known[0].typical < 0
            ends = (rail.over, rail.net) if below else (rail.net, rail.over)
            yield _Place(*ends)


def _outputs(places: Places) -> Iterator[_Place]:
    """Yield what stands behind a bridge, or a boost stage."""
    for part in places.stage.parts:
        if part.fitted and part.kind.word == "bridge" and {"+", "-"} <= set(part.pins):
            plus, minus = part.pins["+"], part.pins["-"]
            volts = volts_of(places, places.stage, plus)
            high = volts is None or not volts.known or volts.high > HARMFUL_VOLTS
            if high and places.across(plus, minus).every:
                yield _Place(plus, minus)
    for _, plus, minus in boosts(places):
        if _may_harm(places, plus):
            yield _Place(plus, minus)


def _may_harm(places: Places, plus: str) -> bool:
    """Return whether a net may stand over 60 V: as written, else as its parts allow."""
    volts = volts_of(places, places.stage, plus)
    if volts and volts.known:
        return volts.high > HARMFUL_VOLTS
    ends = [one for one in places.capacitors if places.head(plus) in places.ends(one)]
    ratings = [rated_volts(one) for one in ends]
    return any(rated is None or rated > HARMFUL_VOLTS for rated in ratings)


def _rated(places: Places) -> Iterator[_Place]:
    for part in places.capacitors:
        rated = rated_volts(part)
        if part.kind.word != "electrolytic" or rated is None or rated < HIGH_RATING:
            continue
        plus, minus = places.ends(part)
        volts = volts_of(places, places.stage, plus)
        inner = any(part in places.across(*ends).every for ends in _ends(places))
        if not inner and (volts is None or not volts.known):
            yield _Place(plus, minus)


def _ends(places: Places) -> Iterator[tuple[str, str]]:
    """Yield the links that rails and rectifiers make, for halves of them to be known."""
    for one in (*_rails(places), *_outputs(places)):
        yield one.plus, one.minus


def _mains(places: Places) -> Iterator[_Place]:
    """Yield capacitors across the mains: before a bridge, or called CX."""
    lines = [
        {places.head(part.pins["~1"]), places.head(part.pins["~2"])}
        for part in places.stage.parts
        if part.fitted and part.kind.word == "bridge" and {"~1", "~2"} <= set(part.pins)
    ]
    for part in places.capacitors:
        ends, farads = places.ends(part), part.quantity("c").typical
        if (set(ends) in lines or part.ref.upper().startswith("CX")) and (
            farads is None or farads >= FILM
        ):
            a, b = list(part.pins.values())[:2]
            yield _Place(a, b, mains=True)


def _volts(
    places: Places, place: _Place
) -> tuple[Quantity, tuple[tuple[str, Quantity], ...]]:
    """Return the volts of a link as written, and those that states set otherwise."""
    stage = places.stage
    net = _peak_of(places, place) if place.mains else place.plus
    low = place.minus if volts_of(places, stage, net) is None else net
    volts = volts_of(places, stage, low) or unknown("V")
    states = []
    for state in stage.states:
        told = volts_of(places, in_state(stage, state.name), low)
        if told is not None and told != volts and not place.mains:
            states.append((state.name, _upright(told)))
    return _upright(volts), tuple(states)


def _upright(volts: Quantity) -> Quantity:
    """Return volts as a magnitude: a negative rail holds as much as a positive one."""
    if volts.typical is None or volts.typical >= 0:
        return volts
    return Quantity(-volts.typical, -volts.high, -volts.low, "V", volts.origin)


def _peak_of(places: Places, place: _Place) -> str:
    """Return the net that stands at the crest of the mains: the bridge's output."""
    lines = {places.head(place.plus), places.head(place.minus)}
    for part in places.stage.parts:
        if part.fitted and part.kind.word == "bridge" and "+" in part.pins:
            mine = {places.head(part.pins.get(pin, "")) for pin in ("~1", "~2")}
            if mine == lines:
                return part.pins["+"]
    return place.plus


def _fed(places: Places, place: _Place) -> Iterator[str]:
    if place.boost:
        one = place.boost
        yield f"{one.coil}, {one.switch} and {one.diode} lift it above {one.source}"
    for part in places.stage.parts:
        bridge = part.fitted and part.kind.word == "bridge" and not place.mains
        plus = places.head(part.pins.get("+", ""))
        if bridge and plus == places.head(place.plus):
            lines = [part.pins[pin] for pin in ("~1", "~2") if pin in part.pins]
            yield f"{part.ref} rectifies {' and '.join(lines)}"
    legs = list(_diode_legs(places, place)) if not place.mains else []
    if len(legs) >= 2:
        yield f"{', '.join(one.ref for pair in legs for one in pair)} rectify"


def _diode_legs(places: Places, place: _Place) -> Iterator[tuple[Part, Part]]:
    """Yield pairs of diodes that lead from minus to one net, and on to plus."""
    plus, minus = places.head(place.plus), places.head(place.minus)
    plain = [
        one
        for one in places.stage.parts
        if one.fitted and one.kind.word in {"rectifier", "diode", "fast"}
    ]
    for lower in plain:
        for upper in plain:
            meet = lower.pins["k"] == upper.pins["a"]
            from_minus = places.head(lower.pins["a"]) == minus
            if meet and from_minus and places.head(upper.pins["k"]) == plus:
                yield lower, upper
