"""What resistors are there for: all rules in their order."""

from collections.abc import Callable

from tracegraph.stage.duties.around import Around, both_ways, ends
from tracegraph.stage.duties.dividers import divider, output_divider
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.gate_resistors import (
    base_pull,
    base_series,
    gate_pull,
    gate_series,
    sense,
)
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part

KEEPS_CHARGE = 1e-6  # farads from which a capacitor needs a bleeder
START_OHMS = 47e3
_DRAINS = (("comparator", "out"), ("opto", "c"), ("hall", "out"))
_AMPLIFIERS = ("comparator", "opamp")
_SENSED = (*_AMPLIFIERS, "ic")


def feed(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor from a rail to a zener or a reference."""
    for near, far in both_ways(part):
        zener = around.at(near, part, ("clamp", "shuntreg"), ("k",))
        if zener and far in around.rails and near not in around.rails:
            name = around.called(zener.ref)
            lost = f"{name} gets no current, and {around.called(near)} is not held"
            return Duty(f"feed of {name}", lost, f"{name} gets too little current", "")
    return None


def lamp(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor at a light-emitting diode."""
    lights, lit = ("opto", "optodriver", "lamp"), ("a", "k")
    beside = around.beside(part, lights)
    if beside and set(ends(part)) == {beside.pins.get("a"), beside.pins.get("k")}:
        name = around.called(beside.ref)
        return Duty("bypass of the LED", f"leakage alone may light {name}")
    for near, _ in both_ways(part):
        light = around.at(near, part, lights, lit)
        if light and near not in around.grounds | around.rails:
            name = around.called(light.ref)
            return Duty(
                "LED resistor",
                f"{name} gets no current",
                f"{name} is lit too weakly",
                f"{name} gets too much current, and ages",
            )
    return None


def hysteresis(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor from a comparator's output to its input."""
    for near, far in both_ways(part):
        out = around.at(near, part, ("comparator",), ("out",))
        if out and around.at(far, part, ("comparator",), ("in+",)):
            return Duty("hysteresis", "the trip chatters about its threshold")
    return None


def pull(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor that gives a net its resting level."""
    for near, far in both_ways(part):
        name = around.called(near)
        if far in around.rails:
            if around.at(near, part, ("thermistor",)):
                lost = f"{name} stays low, whatever the sensor's temperature"
                return Duty("pull-up of the sensor", lost, f"{name} reads too hot", "")
            if any(around.at(near, part, (job,), (pin,)) for job, pin in _DRAINS):
                lost = f"{name} can't go high"
                return Duty("pull-up", lost, f"{name} rises slowly", "")
        if far in around.grounds and near in around.inputs:
            lost = f"{name} floats with the controller unplugged"
            return Duty("input pull-down", lost, lost, "it loads the controller")
        if far in around.grounds and around.at(near, part, ("pnp", "pfet"), ("c", "d")):
            lost = f"nothing pulls {name} down"
            return Duty(f"pull-down of {name}", lost, f"{name} falls slowly", "")
    return None


def bleeder(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor across a capacitor, or from rail to ground."""
    store = around.beside(part, ("capacitance",))
    if store:
        loose = set(ends(part)) - around.rails - around.grounds
        clamped = any(around.at(end, part, ("diode",), ("k",)) for end in loose)
        if clamped and not around.grounds & set(ends(part)):
            lost = f"{around.called(store.ref)} fills up and clamps no more"
            return Duty("clamp resistor", lost, lost, "it runs hot")
        farads = store.quantity("c").typical
        if farads and farads >= KEEPS_CHARGE:
            name = around.called(store.ref)
            lost = (
                f"{name} keeps its charge after switching off: measure before touching"
            )
            return Duty("bleeder", lost, lost, "it runs hot")
    return None


def start_up(around: Around, part: Part) -> Duty | None:
    """Return the duty of a great resistor to a chip's supply."""
    ohms = part.quantity("r").typical
    for near, far in both_ways(part):
        chip = around.at(near, part, ("ic", "driver"), ("vcc", "vdd"))
        if chip and ohms and ohms >= START_OHMS and far not in around.grounds:
            lost = f"{around.called(chip.ref)} gets no supply to start with"
            return Duty("start-up resistor", lost, lost, "it runs hot")
    return None


def filtering(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor before a chip's input, or in a snubber."""
    for near, far in both_ways(part):
        other = around.alone_with(near, part)
        if other and job_of(other) == "capacitance":
            lost = f"the ringing of {around.called(far)} is not damped"
            return Duty("snubber resistor", lost, lost, lost)
        if around.at(near, part, _AMPLIFIERS, ("in+", "in-")) and (
            around.alone_with(near, part)
        ):
            return Duty("input resistor", f"nothing reaches {around.called(near)}")
        chip = around.at(near, part, _SENSED)
        store = around.at(near, part, ("capacitance",))
        small = store and (store.quantity("c").typical or 0.0) < KEEPS_CHARGE
        if chip and small and not {near, far} & (around.grounds | around.rails):
            lost = f"{around.called(chip.ref)} sees nothing of {around.called(far)}"
            return Duty("filter resistor", lost)
    return None


RESISTORS: tuple[Callable[[Around, Part], Duty | None], ...] = (
    sense,
    gate_pull,
    gate_series,
    base_pull,
    output_divider,
    feed,
    lamp,
    hysteresis,
    pull,
    base_series,
    bleeder,
    start_up,
    filtering,
    divider,
)
