"""What capacitors, transistors and fuses are there for."""

from collections.abc import Callable, Iterator

from tracegraph.stage.duties.around import BIPOLAR, Around, both_ways, ends
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.mains import suppression
from tracegraph.stage.duties.supplies import RESERVOIR, smoothing
from tracegraph.stage.jobs import drain_of, job_of, source_of
from tracegraph.stage.part import Part


def bootstrap(around: Around, part: Part) -> Duty | None:
    """Return the duty of the capacitor that feeds a high side."""
    chip = around.beside(part, ("bridgedriver",))
    if chip and set(ends(part)) == {chip.pins.get("vb"), chip.pins.get("vs")}:
        lost = f"the high side of {around.called(chip.ref)} has no supply of its own"
        return Duty("bootstrap capacitor", lost, "", f"{lost}: it sags while it is on")
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
        chip = around.at(near, part, ("opamp",), ("in-",))
        if chip and chip.pins.get("out") == far != near:
            return Duty("compensation", "the loop may swing")
    return None


def at_gate(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor from gate to source."""
    for near, far in both_ways(part):
        device = around.gated(near, part)
        if device and around.behind(source_of(device)) == around.behind(far):
            name = around.called(device.ref)
            lost = f"the drain's rise may lift the gate of {name}"
            return Duty("gate capacitor", lost, f"{name} switches slowly", lost)
    return None


def speed_up(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor across a base resistor."""
    beside = around.beside(part, ("resistance",))
    for near, _ in both_ways(part):
        device = around.at(near, part, BIPOLAR, ("b",))
        if beside and device and source_of(device) not in ends(part):
            return Duty("speed-up capacitor", f"{around.called(device.ref)} is slow")
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
            if around.stock(near, part):
                return Duty("decoupling", f"switching spikes stand on {name}")
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


def level_shifter(around: Around, part: Part) -> Duty | None:
    """Return the duty of a transistor that drives one on the upper rail."""
    out = drain_of(part)
    for net in (out, *(around.far(one, out) for one in _resistors(around, part, out))):
        other = around.at(net, part, ("pnp", "pfet"), ("b", "g"))
        low = around.behind(source_of(part)) in around.grounds
        if other and low and source_of(other) in around.rails:
            return Duty(
                "level shifter", f"{around.called(other.ref)} is never turned on"
            )
    return None


def _resistors(around: Around, part: Part, net: str) -> Iterator[Part]:
    for other, _ in around.on(net, part):
        if job_of(other) == "resistance" and len(other.pins) == 2:
            yield other


def series(around: Around, part: Part) -> Duty | None:
    """Return the duty of a transistor in a supply, its base held by a zener."""
    held = around.at(part.pins.get("b", ""), part, ("clamp", "shuntreg"), ("k",))
    if held is None or drain_of(part) not in around.rails:
        return None
    return Duty("series transistor", f"{around.called(source_of(part))} gets no supply")


def switch(around: Around, part: Part) -> Duty | None:
    """Return the duty of a transistor that pulls its collector or drain one way."""
    if around.behind(source_of(part)) in around.grounds:
        verb = "pulled down"
    elif source_of(part) in around.rails:
        verb = "lifted"
    elif drain_of(part) in around.rails:  # a high side
        return Duty("switch", f"{around.called(source_of(part))} is never lifted")
    else:
        return None
    return Duty("switch", f"{around.called(drain_of(part))} is never {verb}")


def power_switch(around: Around, part: Part) -> Duty | None:
    """Return the duty of a power device, wherever it stands."""
    known = switch(around, part)
    if known:
        return known._replace(name="power switch")
    out, back = drain_of(part), source_of(part)
    if not out or not back:
        return None
    a, b = around.called(out), around.called(back)
    return Duty("power switch", f"{a} is never joined to {b}")


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
    suppression,
    compensation,
    at_gate,
    speed_up,
    snubber,
    filtering,
)
TRANSISTORS: tuple[Rule, ...] = (
    turn_off_helper,
    totem_pole,
    series,
    level_shifter,
    switch,
)
POWER_SWITCHES: tuple[Rule, ...] = (power_switch,)
