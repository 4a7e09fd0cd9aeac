"""The section with capacitors where the gates were, and the waves at them."""

from types import MappingProxyType
from typing import NamedTuple

from tracegraph.meter.live.standing import StandingError
from tracegraph.powerup.driving import Driving
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Add, Change, Remove, Tie
from tracegraph.stage.jobs import gate_of, source_of
from tracegraph.stage.kinds.capacitive import CAPACITOR
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage
from tracegraph.waves.result import Measures, WaveError
from tracegraph.waves.wave import wave

_INPUT = ("ciss", "cies")
_NAME = "CGATE"


class Shape(NamedTuple):
    """What a scope shows at an emptied gate.

    Attributes:
        measures: Its measure menu.
        inputs: The inputs that switch.
    """

    measures: Measures
    inputs: tuple[str, ...]


def input_capacitance(device: Part) -> Quantity | None:
    """Return what a device's gate holds, or None where its kind has no such figure."""
    symbol = next((one for one in _INPUT if device.has(one)), "")
    farads = device.quantity(symbol) if symbol else None
    return farads if farads and farads.known else None


def floating_feet(drives: tuple[Driving, ...]) -> tuple[tuple[str, str], ...]:
    """Return nets to be joined to ground on the bench: the feet of high sides.

    With the devices out nothing pulls such a foot down, so that its bootstrap
    capacitor never fills.
    """
    found = []
    for one in drives:
        pins = one.chip.pins if one.chip and one.output == "ho" else {}
        if "vs" in pins and "com" in pins:
            found.append((pins["vs"], pins["com"]))
    return tuple(dict.fromkeys(found))


def shape(stage: Stage, drives: tuple[Driving, ...], one: Driving) -> Shape | None:
    """Return the wave at a gate with a capacitor in its place, or None.

    Args:
        stage: The section with its control rails alone, devices out.
        drives: All its power devices; those of sister channels do not matter.
        one: The device whose gate is looked at.
    """
    own = one.device.channel
    near = tuple(each for each in drives if each.device.channel == own)
    changes: list[Change] = [
        Remove(part.ref)
        for part in stage.parts
        if own and part.channel not in {own, ""}
    ]
    changes += [Tie(*nets) for nets in floating_feet(near)]
    for index, each in enumerate(near):
        farads, ends = input_capacitance(each.device), (gate_of, source_of)
        gate, foot = (of(each.device) for of in ends)
        if farads and farads.typical and gate and foot:
            pins = MappingProxyType({"1": gate, "2": foot})
            part = Part(f"{_NAME}{index}", CAPACITOR, pins)
            held = exact(farads.typical, "F")
            changes.append(Add(part.with_given("c", held)))
    try:
        found = wave(apply(stage, changes, keep_names=True), gate_of(one.device))
    except (WaveError, StandingError):
        return None
    told = found.asked
    if not told.settled or not told.switches_here:
        return None
    return Shape(told.measures, tuple(each.net for each in found.inputs))
