"""What acts in a section: power devices, relays, lights, small transistors."""

from collections.abc import Iterable
from typing import NamedTuple

from tracegraph.levels.device import switched
from tracegraph.levels.mood import FLOWS, Mood
from tracegraph.meter.live.lacking import Seen
from tracegraph.stage.branch import Channel
from tracegraph.stage.jobs import gate_of, job_of, source_of
from tracegraph.stage.part import Part

LIT_AMPS = 0.3e-3  # through a light-emitting diode
PULLS_IN = 0.5  # of a coil's greatest current: common practice, no source
_LIGHTS = frozenset({"opto", "optodriver", "lamp"})
COUPLERS = frozenset({"opto", "optodriver"})
_COILS = frozenset({"relay", "motor", "load", "buzzer"})


class Actor(NamedTuple):
    """A part that does something when it should, and nothing when it should not.

    Attributes:
        part: The part.
        small: Whether it is only on the way to what acts.
        control: The net that turns it on, or empty.
        back: The net that its control stands against, or empty.
        full: Its greatest current in any healthy state.
    """

    part: Part
    small: bool
    control: str
    back: str
    full: float


def actors(parts: Iterable[Part], bases: Iterable[Seen]) -> tuple[Actor, ...]:
    """Return what acts in a section."""
    seen = tuple(bases)
    found = []
    for part in parts:
        if not part.fitted:
            continue
        full = max((one.amps.get(part.ref, 0.0) for one in seen), default=0.0)
        job = job_of(part)
        if channel_of(part) or job in {"npn", "pnp"}:
            control = gate_of(part)
            back = source_of(part)
            found.append(Actor(part, channel_of(part) is None, control, back, full))
        elif job in _LIGHTS or job in _COILS:
            lit = part.pins.get("a", "") if job in COUPLERS else ""
            found.append(Actor(part, small=False, control=lit, back="", full=full))
    return tuple(found)


def channel_of(part: Part) -> Channel | None:
    """Return a FET's or IGBT's channel."""
    model = part.kind.live or part.kind.cold
    return next((one for one in model(part) if isinstance(one, Channel)), None)


def stands(actor: Actor, seen: Seen) -> Mood | None:
    """Return whether something acts: on, off or half on; None where not known."""
    part = actor.part
    job = job_of(part)
    channel = channel_of(part)
    control = seen.control.get(part.ref)
    if channel and control is not None:
        return switched(control, channel.threshold)
    if job in {"npn", "pnp"} and control is not None:
        return Mood.ON if control > FLOWS else Mood.OFF
    amps = seen.amps.get(part.ref)
    if amps is None:
        return None
    if job in _LIGHTS:
        lit = seen.control.get(part.ref, amps)
        return Mood.ON if lit > LIT_AMPS else Mood.OFF
    if actor.full < LIT_AMPS:
        return None
    return Mood.ON if amps > PULLS_IN * actor.full else Mood.OFF


def verbs(actor: Actor, now: Mood) -> tuple[str, str]:
    """Return what is said of one, and of several, that do what they should not."""
    job = job_of(actor.part)
    if now == Mood.HALF:
        return "is only half on", "are only half on"
    if job in _LIGHTS:
        return ("lights", "light") if now == Mood.ON else ("stays dark", "stay dark")
    if job == "relay":
        off = ("does not pull in", "do not pull in")
        return ("pulls in", "pull in") if now == Mood.ON else off
    if job in _COILS:
        return (
            ("runs", "run") if now == Mood.ON else ("gets no current", "get no current")
        )
    return ("is on", "are on") if now == Mood.ON else ("stays off", "stay off")
