"""The nets along a chain across the link: what stands there, and what a meter shows."""

from collections.abc import Collection

from tracegraph.powerup.link.bank import nominal
from tracegraph.powerup.link.mesh import Path, carrying, level
from tracegraph.powerup.link.places import Places
from tracegraph.powerup.link.record import Link, Tap
from tracegraph.stage.jobs import job_of

METER_OHMS = 10e6
"""Input of an ordinary digital meter on DC volts: common practice, no source."""


def taps(places: Places, link: Link) -> tuple[Tap, ...]:
    """Return the nets along the chains across a link, the highest first.

    Other rails that stand on the same net are taken as powered. Nothing where the
    link's own volts, or a resistor on the way, are not known.
    """
    volts = nominal(link)
    way = carrying(places.paths, link.plus, link.minus)
    if volts is None or any(one.ohms.typical is None for one in way):
        return ()
    known = {
        rail.net: rail.volts.typical
        for rail in places.stage.rails
        if rail.over == link.minus and rail.volts.typical is not None
    }
    known |= {link.plus: volts, link.minus: 0.0}
    groups = {places.head(net) for net in known}
    live = [one for one in places.paths if not one.rest]
    inner = [net for one in way if not one.rest for net in (one.a, one.b)]
    found = []
    for net in dict.fromkeys(inner):
        if places.head(net) in groups:
            continue
        true = level(live, net, known)
        shown = level(live, net, known, METER_OHMS)
        if true is not None and shown is not None:
            sense = _sense(places, net, way)
            found.append(Tap(net, link.minus, true, shown, sense))
    return tuple(sorted(found, key=lambda one: -one.volts))


def _sense(places: Places, net: str, way: Collection[Path]) -> bool:
    """Return whether something besides the chain and a capacitor stands on a net."""
    chain = {one.owner for one in way}
    for pin in places.stage.nets.get(net, ()):
        part = places.stage.part(pin.part)
        other = part is not None and part.ref not in chain and part.fitted
        if part and other and job_of(part) not in {"capacitance", "testpoint"}:
            return True
    return False
