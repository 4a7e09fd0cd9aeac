"""What diodes, zeners and suppressors are there for."""

from collections.abc import Callable

from tracegraph.stage.duties.around import Around, both_ways, ends
from tracegraph.stage.duties.chips import thyristor_trigger
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.supplies import split
from tracegraph.stage.jobs import GATED, job_of, source_of
from tracegraph.stage.part import Part

_COILS = ("relay", "winding", "motor", "coil")
_SWITCHES = ("power switch", "npn")


def turn_off(around: Around, part: Part) -> Duty | None:
    """Return the duty of a diode that empties a gate."""
    out, into = part.pins["a"], part.pins["k"]
    gates = [around.gated(out, part)]
    for near, side in ((out, True), (into, False)):
        other = around.alone_with(near, part)
        if other and job_of(other) == "resistance":
            far = around.far(other, near)
            gates += [around.gated(far, part) if side else around.gated(out, part)]
    device = next((one for one in gates if one), None)
    if device is None or device.kind.word == "pfet":
        return None
    name = around.called(device.ref)
    return Duty("turn-off diode", f"{name} turns off no faster than it turns on")


def helper(around: Around, part: Part) -> Duty | None:
    """Return the duty of the diode between a turn-off helper's base and emitter."""
    other = around.beside(part, ("pnp",))
    if other and other.pins.get("b") == part.pins["a"]:
        name, net = around.called(other.ref), around.called(part.pins["k"])
        lost = f"the drive does not reach {net}; {name} only empties it"
        return Duty("diode of the turn-off helper", lost)
    return None


def freewheel(around: Around, part: Part) -> Duty | None:
    """Return the duty of a diode across a coil, or from a switch to its rail."""
    low, high = part.pins["a"], part.pins["k"]
    coil = around.beside(part, _COILS)
    switch = around.at(low, part, _SWITCHES, ("d", "c"))
    upper = around.at(high, part, ("pfet", "pnp"), ("d", "c"))
    if coil and coil.kind.word == "relay" and not {"a1", "a2"} <= _pins(coil, part):
        coil = None
    at_rail = (switch and high in around.rails) or (upper and low in around.grounds)
    if coil is None and not at_rail:
        return None
    device = switch or upper
    spike = f"{around.called(device.ref)} takes its spike" if device else "it sparks"
    of = around.called(coil.ref) if coil else "the load"
    lost = f"the current of {of} has nowhere to go at switching off: {spike}"
    return Duty("freewheel diode", lost)


def _pins(part: Part, other: Part) -> set[str]:
    return {pin for pin, net in part.pins.items() if net in ends(other)}


def bootstrap(around: Around, part: Part) -> Duty | None:
    """Return the duty of the diode that fills a bootstrap capacitor."""
    chip = around.at(part.pins["k"], part, ("bridgedriver",), ("vb",))
    if chip is None:
        return None
    lost = f"the high side of {around.called(chip.ref)} gets no supply"
    return Duty("bootstrap diode", lost)


def clamp_of_winding(around: Around, part: Part) -> Duty | None:
    """Return the duty of the diode into a clamp of resistor and capacitor."""
    switch = around.at(part.pins["a"], part, _SWITCHES, ("d", "c"))
    store = around.at(part.pins["k"], part, ("capacitance",))
    if switch is None or store is None or around.beside(part, ("capacitance",)):
        return None
    name = around.called(switch.ref)
    return Duty("clamp diode", f"{name} takes the spike of the leakage inductance")


def across_light(around: Around, part: Part) -> Duty | None:
    """Return the duty of a diode the other way round across a light-emitting one."""
    light = around.beside(part, ("opto", "optodriver", "lamp"))
    if light and part.pins["a"] == light.pins.get("k"):
        name = around.called(light.ref)
        return Duty("reverse diode", f"reverse volts reach the LED of {name}")
    return None


def wired_or(around: Around, part: Part) -> Duty | None:
    """Return the duty of one of several diodes that lead outputs to one net."""
    for near, far, pin in (
        (part.pins["a"], part.pins["k"], "a"),
        (part.pins["k"], part.pins["a"], "k"),
    ):
        if near in around.rails | around.grounds:
            continue
        mates = [
            one
            for one, at in around.on(near, part)
            if job_of(one) == "diode" and at == pin
        ]
        loose = [far, *(around.far(one, near) for one in mates)]
        if mates and not set(loose) & (around.rails | around.grounds):
            lost = f"{around.called(far)} does not reach {around.called(near)}"
            return Duty("diode of the wired or", lost)
    return None


def boost(around: Around, part: Part) -> Duty | None:
    """Return the duty of the diode behind a boost choke, or of the one past both."""
    goal = part.pins["k"]
    choke = around.at(part.pins["a"], part, ("coil",))
    if choke is None or len(choke.pins) != 2 or goal in ends(choke):
        return None
    if around.at(part.pins["a"], part, _SWITCHES, ("d", "c")):
        return Duty(
            "boost diode", f"{around.called(goal)} gets no more than its supply"
        )
    middle = around.far(choke, part.pins["a"])
    other = around.at(middle, choke, ("diode",), ("a",))
    if other and other.pins["k"] == goal:
        name = around.called(other.ref)
        return Duty("bypass diode", f"{name} and the choke take the in-rush")
    return None


def back_feed(around: Around, part: Part) -> Duty | None:
    """Return the duty of a diode from a regulator's output to its input."""
    chip = around.beside(part, ("regulator", "npn"))
    if chip is None:
        return None
    pins = ("out", "in") if job_of(chip) == "regulator" else ("e", "c")
    if tuple(chip.pins.get(pin) for pin in pins) != (part.pins["a"], part.pins["k"]):
        return None
    lost = f"the output empties through {around.called(chip.ref)} when its input falls"
    return Duty("back-feed diode", lost)


def rectifier(around: Around, part: Part) -> Duty | None:
    """Return the duty of a diode at a winding."""
    if around.at(part.pins["a"], part, ("winding",)):
        net = part.pins["k"]
        other = around.alone_with(net, part)
        goal = around.far(other, net) if other and len(other.pins) == 2 else net
        return Duty("rectifier", f"{around.called(goal)} gets no supply")
    return None


def input_clamp(around: Around, part: Part) -> Duty | None:
    """Return the duty of a diode from a signal to a rail, or from ground to it."""
    low, high = part.pins["a"], part.pins["k"]
    signal = low if high in around.rails else high if low in around.grounds else ""
    if not signal or signal in around.rails | around.grounds:
        return None
    if around.at(signal, part, GATED | {"npn", "pnp", "winding"}):
        return None
    name, way = (
        around.called(signal),
        "above the rail" if signal == low else "below ground",
    )
    return Duty("clamp", f"nothing keeps {name} from going {way}")


def gate_clamp(around: Around, part: Part) -> Duty | None:
    """Return the duty of a zener or suppressor between gate and source."""
    for near, far in both_ways(part):
        device = around.gated(near, part)
        if device and around.behind(source_of(device)) == around.behind(far):
            name = around.called(device.ref)
            return Duty(
                "gate clamp",
                f"spikes reach the gate of {name}, and may pierce it",
                f"it clamps too late to save the gate of {name}",
                "it takes the drive away from the gate",
            )
    return None


def series_reference(around: Around, part: Part) -> Duty | None:
    """Return the duty of a zener at the base of a series transistor."""
    other = around.at(part.pins["k"], part, ("npn",), ("b",))
    if other and part.pins["a"] in around.grounds:
        out = around.called(other.pins.get("e", ""))
        up, down = f"{out} goes too high", f"{out} stays too low"
        return Duty("reference of the supply", f"{up}: nothing holds it", up, down)
    return None


def holds(around: Around, part: Part) -> Duty | None:
    """Return the duty of a zener that a resistor feeds from a rail."""
    net = part.pins["k"]
    for other, _ in around.on(net, part):
        if job_of(other) == "resistance" and around.far(other, net) in around.rails:
            name = around.called(net)
            up, down = f"{name} goes too high", f"{name} stays too low"
            return Duty("reference", f"{up}: nothing holds it", up, down)
    return None


def rail_clamp(around: Around, part: Part) -> Duty | None:
    """Return the duty of a zener, suppressor or varistor from a rail to its ground."""
    for near, far in both_ways(part):
        supply = near in around.rails or around.stock(near, part)
        if supply and far in around.grounds:
            name = around.called(near)
            return Duty(
                "rail clamp", f"nothing limits {name}", "it clamps too late", ""
            )
    return None


DIODES: tuple[Callable[[Around, Part], Duty | None], ...] = (
    helper,
    boost,
    bootstrap,
    turn_off,
    freewheel,
    clamp_of_winding,
    across_light,
    back_feed,
    rectifier,
    wired_or,
    input_clamp,
)
CLAMPS: tuple[Callable[[Around, Part], Duty | None], ...] = (
    gate_clamp,
    series_reference,
    split,
    holds,
    thyristor_trigger,
    rail_clamp,
)
