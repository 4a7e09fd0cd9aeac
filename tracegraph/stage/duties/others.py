"""What capacitors, transistors and chips are there for."""

from collections.abc import Callable

from tracegraph.stage.duties.around import (
    Around,
    both_ways,
    drain_of,
    ends,
    source_of,
)
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part

RESERVOIR = 10e-6  # farads from which a capacitor smooths, not only decouples


def bootstrap(around: Around, part: Part) -> Duty | None:
    """Return the duty of the capacitor that feeds a high side."""
    chip = around.beside(part, ("bridgedriver",))
    if chip and set(ends(part)) == {chip.pins.get("vb"), chip.pins.get("vs")}:
        lost = f"the high side of {around.called(chip.ref)} has no supply of its own"
        return Duty("bootstrap capacitor", lost, "", f"{lost}: it sags while it is on")
    return None


def smoothing(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor across a supply."""
    for near, far in both_ways(part):
        if near not in around.rails or far not in around.returns:
            continue
        name, farads = around.called(near), part.quantity("c").typical or 0.0
        if farads >= RESERVOIR:
            return Duty("reservoir", f"{name} sags and ripples", "", f"{name} ripples")
        return Duty("decoupling", f"switching spikes stand on {name}")
    return None


def snubber(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor behind a resistor, or in a clamp."""
    for near, _ in both_ways(part):
        other = around.alone_with(near, part)
        if other and job_of(other) == "resistance":
            name = around.called(around.far(other, near))
            return Duty("snubber capacitor", f"the ringing of {name} is not damped")
    beside = around.beside(part, ("resistance",))
    loose = set(ends(part)) - around.rails - around.grounds
    clamped = any(around.at(end, part, ("diode",), ("k",)) for end in loose)
    if beside and clamped and not around.grounds & set(ends(part)):
        lost = "the spike of the leakage inductance is not clamped"
        return Duty("clamp capacitor", lost)
    return None


def compensation(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor that steadies a loop."""
    for near, far in both_ways(part):
        chip = around.at(near, part, ("shuntreg",), ("ref",))
        if chip and far not in around.grounds:
            return Duty("compensation", "the loop may swing")
    return None


def filtering(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor from a signal to ground."""
    for near, far in both_ways(part):
        if far in around.grounds and near not in around.rails | around.grounds:
            name, farads = around.called(near), part.quantity("c").typical or 0.0
            if farads >= RESERVOIR:
                return Duty(
                    "reservoir", f"{name} sags and ripples", "", f"{name} ripples"
                )
            return Duty("filter", f"spikes stand on {name}", f"{name} is slow", "")
    return None


def turn_off_helper(around: Around, part: Part) -> Duty | None:
    """Return the duty of a PNP that empties a gate."""
    emitter = source_of(part)
    direct = around.gated(emitter, part)
    behind = (
        around.gated(around.far(one, emitter), part)
        for one, _ in around.on(emitter, part)
        if job_of(one) == "resistance"
    )
    device = direct or next((one for one in behind if one), None)
    if part.kind.word != "pnp" or device is None:
        return None
    if around.behind(source_of(device)) != around.behind(drain_of(part)):
        return None
    if around.at(emitter, part, ("npn",), ("e",)):
        return None  # the lower half of a totem pole
    lost = f"the gate of {around.called(device.ref)} empties slowly: it turns off hot"
    return Duty("turn-off helper", lost)


def totem_pole(around: Around, part: Part) -> Duty | None:
    """Return the duty of one of two emitter followers."""
    mate = "pnp" if part.kind.word == "npn" else "npn"
    other = around.at(source_of(part), part, (mate,), ("e",))
    if other is None or other.pins.get("b") != part.pins.get("b"):
        return None
    net = around.called(source_of(part))
    half, verb = ("upper", "lifts") if mate == "pnp" else ("lower", "pulls down")
    return Duty(f"{half} half of the totem pole", f"nothing {verb} {net}")


def switch(around: Around, part: Part) -> Duty | None:
    """Return the duty of a transistor that pulls its collector or drain one way."""
    if around.behind(source_of(part)) in around.grounds:
        verb = "pulled down"
    elif source_of(part) in around.rails:
        verb = "lifted"
    elif drain_of(part) in around.rails:  # a high side, or a series transistor
        return Duty("switch", f"{around.called(source_of(part))} is never lifted")
    else:
        return None
    return Duty("switch", f"{around.called(drain_of(part))} is never {verb}")


def barrier(around: Around, part: Part) -> Duty | None:
    """Return the duty of an optocoupler."""
    out = part.pins.get("out", part.pins.get("c", ""))
    lost = f"nothing comes across the barrier to {around.called(out)}"
    return Duty("optocoupler", lost) if out else None


def trip(around: Around, part: Part) -> Duty | None:
    """Return the duty of a comparator."""
    out = part.pins.get("out", "")
    return Duty("trip", f"{around.called(out)} never trips") if out else None


def regulation(around: Around, part: Part) -> Duty | None:
    """Return the duty of a shunt regulator."""
    cathode, name = part.pins.get("k", ""), "reference"
    if cathode != part.pins.get("ref"):
        return Duty("feedback", "nothing holds the output: it goes too high")
    return Duty(name, f"nothing holds {around.called(cathode)}")


def surge(around: Around, part: Part) -> Duty | None:
    """Return the duty of a varistor."""
    name = around.called(ends(part)[0])
    return Duty("surge protection", f"surges on {name} reach what stands behind")


def fuse(around: Around, part: Part) -> Duty | None:
    """Return the duty of a fuse."""
    return Duty("fuse", f"{around.called(ends(part)[1])} gets no supply")


Rule = Callable[[Around, Part], Duty | None]
CAPACITORS: tuple[Rule, ...] = (
    bootstrap,
    smoothing,
    compensation,
    snubber,
    filtering,
)
TRANSISTORS: tuple[Rule, ...] = (turn_off_helper, totem_pole, switch)
POWER_SWITCHES: tuple[Rule, ...] = (switch,)
