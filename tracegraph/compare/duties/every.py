"""Every duty known, by what a part does."""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.compare.duties.around import Around
from tracegraph.compare.duties.diodes import CLAMPS, DIODES
from tracegraph.compare.duties.duty import Duty
from tracegraph.compare.duties.others import (
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
from tracegraph.compare.duties.resistors import RESISTORS
from tracegraph.compare.jobs import job_of
from tracegraph.stage.part import Part

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
