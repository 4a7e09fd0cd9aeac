"""Every duty known, by what a part does."""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.stage.duties import chips, loads, mains
from tracegraph.stage.duties.around import NO_NAMES, Around
from tracegraph.stage.duties.diodes import CLAMPS, DIODES
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.others import (
    CAPACITORS,
    POWER_SWITCHES,
    TRANSISTORS,
    Rule,
    fuse,
    surge,
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
        "opto": (chips.barrier,),
        "optodriver": (chips.barrier,),
        "comparator": (chips.trip,),
        "opamp": (chips.amplifier,),
        "shuntreg": (chips.regulation,),
        "regulator": (chips.regulator,),
        "driver": (chips.gate_driver,),
        "bridgedriver": (chips.bridge_driver,),
        "ic": (chips.controller,),
        "hall": (chips.hall,),
        "scr": (chips.thyristor,),
        "triac": (chips.thyristor,),
        "varistor": (surge,),
        "fuse": (fuse,),
        "jumper": (mains.link,),
        "bridge": (mains.bridge,),
        "thermistor": (mains.in_rush, mains.sensor),
        "coil": (mains.choke,),
        "contact": (mains.contact,),
        "connector": (loads.plug,),
        "testpoint": (loads.test_point,),
        "relay": (loads.relay,),
        "lamp": (loads.indicator,),
        "winding": (loads.winding,),
        "motor": (loads.load,),
        "buzzer": (loads.load,),
        "crystal": (loads.clock,),
        "currenttransformer": (loads.current_transformer,),
    }
)


_ONE_PIN = frozenset({"connector", "testpoint"})
_HALF_TRACED = frozenset({"ic", "opto", "optodriver", "connector", "relay"})
"""What is known for what it is although some of its pins lead nobody knows where."""


def duty(around: Around, part: Part) -> Duty | None:
    """Return what a part is there for, or None where its place tells nothing known."""
    if part.untraced and job_of(part) not in _HALF_TRACED:
        return None
    if len(part.pins) < 2 and job_of(part) not in _ONE_PIN:
        return None
    rules = _RULES.get(job_of(part), ())
    return next((one for rule in rules if (one := rule(around, part))), None)


def duty_of(stage: Stage, ref: str, names: Mapping[str, str] = NO_NAMES) -> Duty | None:
    """Return what a part of a section is there for, or None where that is not known."""
    part = stage.part(ref)
    return duty(Around(stage, names), part) if part else None
