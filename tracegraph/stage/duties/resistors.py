"""What resistors are there for: all rules in their order."""

from collections.abc import Callable

from tracegraph.stage.duties.around import Around, both_ways, ends
from tracegraph.stage.duties.chips import thyristor_trigger
from tracegraph.stage.duties.dividers import divider, output_divider
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.gate_resistors import (
    base_pull,
    base_series,
    gate_pull,
    gate_series,
    holding,
    sense,
)
from tracegraph.stage.duties.loads import load_resistor
from tracegraph.stage.duties.mains import in_rush
from tracegraph.stage.duties.supplies import after_rectifier, bleeder, start_up
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part

KEEPS_CHARGE = 1e-6  # farads from which a capacitor needs a bleeder
_DRAINS = (("comparator", "out"), ("opto", "c"), ("hall", "out"))
_AMPLIFIERS = ("comparator", "opamp")
_AT_PLUG = frozenset({"connector", "capacitance", "diode", "clamp", "testpoint"})
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


def compensation(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor in series with the capacitor of a loop."""
    for near, _ in both_ways(part):
        store = around.alone_with(near, part)
        if store and job_of(store) == "capacitance":
            goal = around.far(store, near)
            if around.at(goal, store, ("shuntreg", "opamp"), ("ref", "in-")):
                return Duty("compensation resistor", "the loop may swing")
    return None


def lamp(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor at a light-emitting diode."""
    lights, lit = ("opto", "optodriver", "lamp"), ("a", "k")
    beside = around.beside(part, lights)
    if beside and set(ends(part)) == {beside.pins.get("a"), beside.pins.get("k")}:
        name = around.called(beside.ref)
        return Duty("bypass of the LED", f"leakage alone may light {name}")
    for near in (*ends(part), *around.whole(part)):
        light = around.at(near, part, lights, lit)
        if light and _limited(around, light, part):
            continue
        if light and near not in around.grounds | around.rails:
            name = around.called(light.ref)
            return Duty(
                "LED resistor",
                f"{name} gets no current",
                f"{name} is lit too weakly",
                f"{name} gets too much current, and ages",
            )
    return None


def _limited(around: Around, light: Part, part: Part) -> bool:
    """Return whether another resistor, alone with a light, already limits it."""
    for near in (light.pins.get("a", ""), light.pins.get("k", "")):
        other = around.alone_with(near, light)
        if other and other.ref != part.ref and job_of(other) == "resistance":
            mine = {around.end_of(part, net) for net in ends(part)} | set(ends(part))
            return not set(ends(other)) & mine
    return False


def hysteresis(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor from a comparator's output to its input."""
    for near, far in both_ways(part):
        out = around.at(near, part, ("comparator",), ("out",))
        if out and around.at(far, part, ("comparator",), ("in+",)):
            return Duty("hysteresis", "the trip chatters about its threshold")
    return None


def hysteresis_input(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor that a comparator's feedback works against."""
    for near, far in both_ways(part):
        chip = around.at(near, part, ("comparator",), ("in+",))
        if chip is None or far in around.grounds or _lower_half(around, part, near):
            continue
        back = chip.pins.get("out", "")
        for other, _ in around.on(near, part):
            if job_of(other) == "resistance" and back in ends(other) and back != far:
                name, source = around.called(chip.ref), around.called(far)
                lost = f"{name} no longer hears {source}: it stays as it is"
                more = f"the hysteresis of {name} is too wide"
                less = f"the hysteresis of {name} is too narrow"
                return Duty("hysteresis input resistor", lost, more, less)
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


def rest_level(around: Around, part: Part) -> Duty | None:
    """Return the duty of the only resistor that leads a switched net to a supply."""
    for near, far in both_ways(part):
        if near in around.grounds | around.rails or not _alone_to(around, part, near):
            continue
        name = around.called(near)
        wired = sum(
            job_of(other) == "diode" and pin == "a"
            for other, pin in around.on(near, part)
        )
        if far in around.rails and (
            wired > 1 or around.at(near, part, ("npn", "power switch"), ("c", "d"))
        ):
            lost = f"nothing lifts {name}"
            return Duty(f"pull-up of {name}", lost, f"{name} rises slowly", "")
        if far in around.grounds and around.at(
            near, part, ("npn", "power switch"), ("c", "d")
        ):
            lost = f"{name} is held by nothing once nothing feeds it"
            return Duty(f"pull-down of {name}", lost, "", "it loads what it hangs on")
    return None


def _alone_to(around: Around, part: Part, near: str) -> bool:
    """Return whether no other resistor leads from a net to a ground or rail."""
    fixed = around.grounds | around.rails
    return not any(
        job_of(other) == "resistance" and set(ends(other)) & fixed
        for other, _ in around.on(near, part)
        if len(other.pins) == 2
    )


def to_plug(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor before a plug."""
    for near, far in both_ways(part):
        others = {job_of(other) for other, _ in around.on(near, part)}
        led_out = "connector" in others and others <= _AT_PLUG
        if led_out and far not in around.grounds and near not in around.rails:
            lost = f"nothing of {around.called(far)} reaches {around.called(near)}"
            return Duty("series resistor of the plug", lost)
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
        loose = not {near, far} & (around.grounds | around.rails)
        if chip and small and loose and not _lower_half(around, part, near):
            lost = f"{around.called(chip.ref)} sees nothing of {around.called(far)}"
            return Duty("filter resistor", lost)
    return None


def _lower_half(around: Around, part: Part, net: str) -> bool:
    """Return whether another resistor leads on to ground: the net is a tap."""
    return any(
        job_of(other) == "resistance" and set(ends(other)) & around.grounds
        for other, _ in around.on(net, part)
        if len(other.pins) == 2
    )


RESISTORS: tuple[Callable[[Around, Part], Duty | None], ...] = (
    load_resistor,
    in_rush,
    sense,
    gate_pull,
    gate_series,
    thyristor_trigger,
    after_rectifier,
    base_pull,
    compensation,
    output_divider,
    feed,
    lamp,
    hysteresis,
    hysteresis_input,
    pull,
    holding,
    base_series,
    bleeder,
    start_up,
    filtering,
    divider,
    to_plug,
    rest_level,
)
