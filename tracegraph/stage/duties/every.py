"""Every duty known, by what a part does."""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.stage.duties.around import NO_NAMES, Around
from tracegraph.stage.duties.diodes import CLAMPS, DIODES
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.others import (
    CAPACITORS,
    POWER_SWITCHES,
    TRANSISTORS,
    Rule,
    barrier,
    fuse,
    regulation,
    surge,
    trip,
)
from tracegraph.stage.duties.resistors import RESISTORS
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

_RULES: Mapping[str, tuple[Rule, ...]] = MappingProxyType(
    {
        "resistance": RESISTORS,
        "diode": DIODES,
        "clamp": CLAMPS,
        "capacitance": CAPACITORS,
        "npn": TRANSISTORS,
        "pnp": TRANSISTORS,
        "power switch": POWER_SWITCHES,
        "pfet": POWER_SWITCHES,
        "opto": (barrier,),
        "optodriver": (barrier,),
        "comparator": (trip,),
        "shuntreg": (regulation,),
        "varistor": (surge,),
        "fuse": (fuse,),
    }
)


def duty(around: Around, part: Part) -> Duty | None:
    """Return what a part is there for, or None where its place tells nothing known."""
    if len(part.pins) < 2 or part.untraced:
        return None
    rules = _RULES.get(job_of(part), ())
    return next((one for rule in rules if (one := rule(around, part))), None)


def duty_of(stage: Stage, ref: str, names: Mapping[str, str] = NO_NAMES) -> Duty | None:
    """Return what a part of a section is there for, or None where that is not known."""
    part = stage.part(ref)
    return duty(Around(stage, names), part) if part else None
