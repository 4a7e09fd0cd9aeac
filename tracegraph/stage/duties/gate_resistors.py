"""What resistors at gates, bases and sources are there for."""

from tracegraph.stage.duties.around import BIPOLAR, Around, both_ways, ends
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.jobs import GATED, SHUNT_OHMS, job_of, source_of
from tracegraph.stage.part import Part

_LOOKING = ("ic", "opamp", "comparator", "connector")
"""What may look at a voltage across a shunt."""


def sense(around: Around, part: Part) -> Duty | None:
    """Return the duty of a shunt in a device's source."""
    ohms = part.quantity("r").typical
    if part.kind.word != "shunt" and (ohms is None or ohms > SHUNT_OHMS):
        return None
    more, less = "the current limit comes too early", "the current limit comes too late"
    for near, far in both_ways(part):
        device = around.at(near, part, GATED | BIPOLAR, ("s", "e"))
        if device and near not in around.grounds:
            name, to = around.called(device.ref), around.called(far)
            lost = f"the current of {name} has no way to {to}"
            return Duty("current sense", lost, more, less)
    if part.kind.word != "shunt" and not _seen(around, part):
        return None
    return Duty("current sense", "the current is not seen", more, less)


def _seen(around: Around, part: Part) -> bool:
    """Return whether a resistor stands on a return, or a chip looks at an end of it."""
    for near, _ in both_ways(part):
        if near in around.returns or around.at(near, part, _LOOKING):
            return True
        for other, _pin in around.on(near, part):
            if job_of(other) == "resistance" and len(other.pins) == 2:
                beyond = around.far(other, near)
                if beyond not in around.rails and around.at(beyond, other, _LOOKING):
                    return True
    return False


def gate_pull(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor from gate to source."""
    for near, far in both_ways(part):
        device = around.gated(near, part)
        if device and around.behind(source_of(device)) == around.behind(far):
            name = around.called(device.ref)
            way = "up" if device.kind.word == "pfet" else "down"
            return Duty(
                f"gate pull-{way}",
                f"nothing keeps {name} off with its driver unplugged",
                f"{name} is held off but weakly, and may turn on by itself",
                "it loads the driver, and the gate gets fewer volts",
            )
    return None


def gate_series(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor on the way to a gate."""
    for near, far in both_ways(part):
        device = around.gated(near, part)
        diode = around.alone_with(near, part) or around.alone_with(far, part)
        if diode and job_of(diode) == "diode":
            goal = around.far(diode, near if near in ends(diode) else far)
            gated = device or around.gated(goal, part)
            if gated:
                name = around.called(gated.ref)
                lost = f"the gate of {name} empties no faster than it fills"
                return Duty(
                    "turn-off resistor", lost, lost, f"{name} turns off too hard"
                )
        if device and not {far} & (around.grounds | around.rails):
            name = around.called(device.ref)
            return Duty(
                "gate resistor",
                f"the drive does not reach the gate of {name}",
                f"{name} switches slowly and runs hot",
                f"the gate rings, and {name} switches harder than it should",
            )
    return None


def base_pull(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor from base to emitter."""
    for near, far in both_ways(part):
        other = around.at(near, part, BIPOLAR, ("b",))
        if near in around.rails:
            continue
        if other and around.behind(source_of(other)) == around.behind(far):
            name = around.called(other.ref)
            way = "up" if job_of(other) == "pnp" else "down"
            return Duty(
                f"base pull-{way}",
                f"leakage, or a drive left open, may turn {name} on",
                f"leakage may turn {name} on",
                f"it takes the base current of {name}",
            )
    return None


def holding(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor by which two transistors hold each other."""
    for near, far in both_ways(part):
        one = around.at(near, part, BIPOLAR, ("b",))
        other = around.at(far, part, BIPOLAR, ("c",))
        if one is None or other is None or {job_of(one), job_of(other)} != BIPOLAR:
            continue
        back = {other.pins.get("b", ""), *_beyond(around, other.pins.get("b", ""))}
        if one.pins.get("c") in back:
            names = around.named([one, other])
            lost = f"{names} do not hold each other: nothing is kept in mind"
            return Duty("holding resistor", lost)
    return None


def _beyond(around: Around, net: str) -> list[str]:
    """Return the nets behind the resistors on a net."""
    return [
        around.far(other, net)
        for other, _ in around.on(net)
        if job_of(other) == "resistance" and len(other.pins) == 2
    ]


def base_series(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor on the way to a base."""
    for near, _ in both_ways(part):
        other = around.at(near, part, BIPOLAR, ("b",))
        if other and near not in around.grounds | around.rails:
            name = around.called(other.ref)
            return Duty(
                "base resistor",
                f"{name} gets no base current",
                f"{name} may not saturate",
                f"the base of {name} takes too much current",
            )
    return None
