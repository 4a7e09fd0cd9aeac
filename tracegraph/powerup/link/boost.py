"""A stage that lifts the link above its input: found by its parts, told in figures."""

from collections.abc import Iterator

from tracegraph.powerup.driving import driving
from tracegraph.powerup.link.places import Places
from tracegraph.powerup.link.record import Boost, Duty
from tracegraph.quantity import Quantity
from tracegraph.stage.jobs import drain_of, job_of, source_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state

_COILS = frozenset({"inductor", "winding"})
_ANODES = ("a", "a1", "a2")


def duty(into: float, out: float) -> float:
    """Return a boost stage's duty in continuous conduction: D = 1 - Vin / Vout.

    From the coil's volt-seconds over a period, losses left out (Erickson and
    Maksimovic, Fundamentals of Power Electronics; from memory).

    >>> duty(200.0, 400.0)
    0.5
    """
    return max(0.0, 1.0 - into / out) if out > 0 else 0.0


def coil_ripple(into: float, share: float, henries: float, hertz: float) -> float:
    """Return the peak-to-peak current in the coil: Vin D / (L f) (as above).

    >>> round(coil_ripple(200.0, 0.5, 500e-6, 65e3), 2)
    3.08
    """
    return into * share / (henries * hertz)


def droop(share: float, farads: float, hertz: float) -> float:
    """Return volts peak to peak on the capacitor for one ampere of load: D / (C f)."""
    return share / (farads * hertz)


def boosts(places: Places) -> Iterator[tuple[Boost, str, str]]:
    """Yield every boost stage with the two nets of the link that it feeds."""
    for switch in places.stage.parts:
        if not switch.fitted or job_of(switch) != "power switch":
            continue
        node = drain_of(switch)
        foot = source_of(switch)
        for coil, source in _coils(places.stage, node):
            for diode, target in _diodes(places.stage, node):
                minus = places.head(foot)
                apart = places.head(source) != places.head(target)
                if apart and places.across(target, minus).every:
                    boost = Boost(coil.ref, switch.ref, diode.ref, source, node)
                    yield boost, target, minus


def with_duties(places: Places, boost: Boost, plus: str, farads: float | None) -> Boost:
    """Return a boost stage with what it has to do, state by state.

    Args:
        places: The section.
        boost: The stage.
        plus: The net that it lifts.
        farads: Capacitance of the link, or None.
    """
    stage = places.stage
    switch, coil = stage.part(boost.switch), stage.part(boost.coil)
    inputs = driving(stage, switch).inputs if switch else ()
    hertz = next((one.hertz for one in inputs if one.hertz), None)
    henries = coil.given.get("l") if coil else None
    found = []
    for state, section in _sections(stage):
        into, out = _volts(places, section, boost.source), _volts(places, section, plus)
        if into is None or out is None or out <= 0 or into < 0:
            continue
        share = duty(into, out)
        known = henries.typical if henries else None
        ripple = coil_ripple(into, share, known, hertz) if known and hertz else None
        sag = droop(share, farads, hertz) if farads and hertz else None
        found.append(Duty(state, into, out, share, ripple, sag))
    mains = any(
        places.head(one.pins.get("+", "")) == places.head(boost.source)
        for one in stage.parts
        if one.fitted and one.kind.word == "bridge"
    )
    return boost._replace(duties=tuple(found), mains=mains, hertz=hertz)


def _coils(stage: Stage, node: str) -> Iterator[tuple[Part, str]]:
    for part in stage.parts:
        nets = list(part.pins.values())
        if part.fitted and part.kind.word in _COILS and node in nets[:2]:
            yield part, nets[1] if nets[0] == node else nets[0]


def _diodes(stage: Stage, node: str) -> Iterator[tuple[Part, str]]:
    for part in stage.parts:
        at_node = any(part.pins.get(pin) == node for pin in _ANODES)
        if part.fitted and at_node and "k" in part.pins and part.pins["k"] != node:
            yield part, part.pins["k"]


def _sections(stage: Stage) -> Iterator[tuple[str, Stage]]:
    """Yield the section in every state, or as it is written if it has none."""
    if not stage.states:
        yield "", stage
    for state in stage.states:
        yield state.name, in_state(stage, state.name)


def _volts(places: Places, section: Stage, net: str) -> float | None:
    """Return the volts of the rail that a net belongs to, or None."""
    found = volts_of(places, section, net)
    return found.typical if found else None


def volts_of(places: Places, section: Stage, net: str) -> Quantity | None:
    """Return what the rail has that a net belongs to, or None."""
    head = places.head(net)
    for rail in section.rails:
        if net == rail.net or places.head(rail.net) == head:
            return rail.volts
    return None
