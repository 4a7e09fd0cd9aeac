"""Parts that stand the wrong way round between rails."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from tracegraph.diagnostics import Problem, doubt
from tracegraph.display import show
from tracegraph.stage.checks.text import Unread
from tracegraph.stage.kind import a
from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

_FORWARD = 1.0  # volts; less is a level, more would burn a diode between two rails


class Level(NamedTuple):
    """What is known of a net by its rail: volts over a ground."""

    volts: float
    ground: str


# The pin that stands higher in use, and the one that stands lower.
_ORDER: Mapping[str, tuple[str, str]] = {
    "npn": ("c", "e"),
    "pnp": ("e", "c"),
    "npn-digital": ("c", "e"),
    "pnp-digital": ("e", "c"),
    "nfet": ("d", "s"),
    "sicfet": ("d", "s"),
    "pfet": ("s", "d"),
    "igbt": ("c", "e"),
}


def levels(stage: Stage) -> dict[str, Level]:
    """Return the levels of grounds and rails, rails over rails added up."""
    found = {ground.net: Level(0.0, ground.net) for ground in stage.grounds}
    for _ in stage.rails:
        for rail in stage.rails:
            base = found.get(rail.over)
            if base and rail.volts.typical is not None:
                level = Level(base.volts + rail.volts.typical, base.ground)
                found.setdefault(rail.net, level)
    return found


def against_rails(stage: Stage, _unread: Unread) -> Iterator[Problem]:
    """Yield diodes and polar capacitors that the rails would drive the wrong way."""
    known = levels(stage)
    for part in stage.parts:
        roles = {spec.role: spec.name for spec in part.kind.pins}
        if {"positive end", "negative end"} <= set(roles):
            over = _over(part, known, roles["negative end"], roles["positive end"])
            if over > 0:
                yield _against(
                    part, "stands against its rails", "Its + is on the lower one."
                )
        elif {"anode", "cathode"} == set(roles) and part.pinout:
            over = _over(part, known, "a", "k")
            if over > _FORWARD and TWO_WAY not in part.variant:
                drop = show(over, "V")
                said = f"would conduct {drop} from rail to rail"
                yield _against(
                    part, said, "Its cathode usually points to the higher one."
                )


def _against(part: Part, said: str, hint: str) -> Problem:
    message = f"{part.ref} {said}: {' and '.join(part.pins.values())}."
    return doubt(
        "against-rails", message, part.placed, f"{hint} Was the arrow turned round?"
    )


def swapped_pinouts(stage: Stage, _unread: Unread) -> Iterator[Problem]:
    """Yield transistors that stand upside down between rails."""
    known = levels(stage)
    for part in stage.parts:
        pair = _ORDER.get(part.kind.word)
        if pair and part.pinout and _over(part, known, pair[1], pair[0]) > 0:
            roles = {spec.name: spec.role for spec in part.kind.pins}
            high, low = (roles[name] for name in pair)
            message = (
                f"{part.ref} has its {low} on {part.pins[pair[1]]} and its {high} on "
                f"{part.pins[pair[0]]}: upside down for {a(part.kind.title)}."
            )
            hint = f"Are {high} and {low} exchanged, or is it of the other polarity?"
            yield doubt("pinout-swapped", message, part.placed, hint)


def _over(part: Part, known: Mapping[str, Level], up: str, down: str) -> float:
    """Return how far one pin stands over another in volts; 0 where it is not known."""
    one, other = (known.get(part.pins.get(name, "")) for name in (up, down))
    if one is None or other is None or one.ground != other.ground:
        return 0.0
    return one.volts - other.volts
