"""How every device of a powered section stands: off, on, saturated, blocking, pulled low."""

from collections.abc import Iterator

from tracegraph.display import show, volts
from tracegraph.levels.mood import FLOWS, LEAST_VOLTS, SATURATED, Device, Mood, Stood
from tracegraph.levels.outputs import output
from tracegraph.meter.carriers import legs
from tracegraph.meter.live.standing import Standing
from tracegraph.quantity import Quantity
from tracegraph.stage.branch import (
    Channel,
    Coil,
    Follower,
    Junction,
    Transistor,
)
from tracegraph.stage.part import Part

BREAKS = 0.9  # part of its breakdown from which a junction clamps
IDLE = "carries nothing"
MANY = 1000.0  # times enough base current, from which the figure says nothing
THYRISTORS = {"scr": ("a", "k"), "triac": ("mt2", "mt1")}
FIRES = 50e-3  # amperes into a gate that fire nearly every type, and
MAY_FIRE = 0.2e-3  # a sensitive one; data sheets, from memory
FULLY = 3.0  # times its on-resistance from which a channel is not fully on


def devices(found: Standing) -> tuple[Device, ...]:
    """Return every device of a section that switches, clamps or drives, part by part."""
    every = list(_seen(found))
    coupled = {one.part.ref for one in every if isinstance(one.branch, Follower)}
    told: list[Device] = []
    row = 0
    for one in every:
        match one.branch:
            case Transistor():
                told.append(_transistor(one, one.branch))
            case Channel():
                told.append(_channel(one, one.branch))
            case Follower():
                told.append(output(one, one.branch, locked=row in found.locked))
                row += 1
            case Junction() if len(one.part.pins) == 2:
                told.append(_diode(one, one.branch))
            case Junction() if one.part.kind.word in THYRISTORS:
                told.append(_thyristor(one, found))
            case Coil() if "a1" in one.part.pins and one.part.ref not in coupled:
                told.append(_relay(one, found))
            case _:
                continue
    return _merged(told)


def _merged(told: list[Device]) -> tuple[Device, ...]:
    """Return one device for the two junctions of a two-way clamp: what carries, else blocks."""
    kept: dict[tuple[str, tuple[str, ...]], Device] = {}
    for one in told:
        key = one.ref, one.carries if one.controls else ()
        other = kept.get(key)
        if other is None or _tells_more(one, other):
            kept[key] = one
    return tuple(kept.values())


def _tells_more(one: Device, other: Device) -> bool:
    """Return whether one junction of a part says more than its other one."""
    if other.mood is not Mood.BLOCKS:
        return False
    return other.words == IDLE or one.mood is not Mood.BLOCKS


def _seen(found: Standing) -> Iterator[Stood]:
    for placed, ends, amps in legs(found.circuit, found.nodes):
        part = found.stage.part(placed.owner)
        if part is not None:
            volts = [float(found.nodes[end]) for end in ends]
            yield Stood(part, placed.branch, placed.nets, volts, amps)


def _transistor(one: Stood, branch: Transistor) -> Device:
    """Tell a bipolar transistor by its currents and what is left across it."""
    ref, sign = one.part.ref, branch.polarity
    base, collector = float(sign * one.amps[0]), float(sign * one.amps[1])
    drive, across = sign * one.over(0, 2), sign * one.over(1, 2)
    gain = branch.gain.typical or 1.0
    nets = (one.nets[0],), (one.nets[1], one.nets[2])
    at = f"base-emitter {volts(drive, 2)}"
    if max(abs(base), abs(collector)) < FLOWS:
        return Device(ref, Mood.OFF, f"off ({at})", abs(collector), 0.0, *nets)
    if base > FLOWS > abs(collector):
        words = f"turned on ({at}), with nothing to carry"
        return Device(ref, Mood.SATURATED, words, 0.0, gain, *nets)
    if base < -FLOWS or collector < -FLOWS:
        words = f"works backwards ({show(abs(collector), 'A', 2)} the wrong way)"
        return Device(ref, Mood.REVERSED, words, abs(collector), 0.0, *nets)
    over = gain * base / collector if collector > FLOWS else gain
    flow = f"{show(collector, 'A', 2)} for {show(base, 'A', 2)} of base"
    if across < SATURATED:
        times = f"{over:.0f}" if over < MANY else "far more than 1000"
        words = f"saturated ({at}, {flow}: {times} times enough)"
        return Device(ref, Mood.SATURATED, words, collector, over, *nets)
    words = f"active ({at}, {volts(across, 2)} across it, {flow})"
    return Device(ref, Mood.ACTIVE, words, collector, over, *nets)


def switched(gate: float, threshold: Quantity) -> Mood:
    """Return how a channel stands by its gate volts alone: off, half on, or on."""
    if gate < threshold.low:
        return Mood.OFF
    return Mood.ON if gate > threshold.high else Mood.HALF


def _channel(one: Stood, branch: Channel) -> Device:
    """Tell a FET or IGBT by its gate against its threshold."""
    sign, limit = branch.polarity, branch.threshold
    gate, across = sign * one.over(0, 2), sign * one.over(1, 2)
    nets = (one.nets[0],), (one.nets[1], one.nets[2])
    amps = abs(float(one.amps[1]))
    sides = f"{volts(sign * limit.low, 2)} to {volts(sign * limit.high, 2)}"
    at = f"gate {volts(sign * gate, 3)} against a threshold of {sides}"
    full = branch.on_ohms.at or 10.0
    if switched(gate, limit) is Mood.OFF:
        return Device(one.part.ref, Mood.OFF, f"off ({at})", amps, gate, *nets)
    open_far = gate > limit.high + 0.5 * (full - limit.high) or _opened(one, branch)
    if gate > limit.high and open_far and abs(across) < max(gate - limit.high, 0.1):
        return Device(one.part.ref, Mood.ON, f"on ({at})", amps, gate, *nets)
    left = f", {volts(abs(across), 2)} across it"
    if open_far:
        words = f"on, but asked for more than it carries ({at}){left}"
        return Device(one.part.ref, Mood.HALF, words, amps, gate, *nets)
    where = "inside its threshold" if gate <= limit.high else "hardly above it"
    words = f"only half on ({at}: {where})"
    if gate > limit.high and abs(across) >= 0.1:
        words += left
    return Device(one.part.ref, Mood.HALF, words, amps, gate, *nets)


def _opened(one: Stood, branch: Channel) -> bool:
    """Return whether a channel drops no more than some times what it does fully on."""
    most = FULLY * branch.on_ohms.high * abs(float(one.amps[1]))
    return abs(one.over(1, 2)) <= most + 1e-3


def _thyristor(one: Stood, found: Standing) -> Device:
    """Tell a thyristor by what its gate gets, and whether the state has fired it."""
    part, pins = one.part, one.part.pins
    high, low = (pins[pin] for pin in THYRISTORS[part.kind.word])
    nets = (pins["g"],), (high, low)
    many = zip(found.currents[part.ref], legs_of(found, part), strict=True)
    gate = amps = 0.0
    for flows, ends in many:
        into = dict(zip(ends, flows.tolist(), strict=True))
        gate += into.get(pins["g"], 0.0)
        amps += abs(into.get(high, 0.0))
    across = found.across(high, low)
    if part.quantity("on").typical:
        words = f"fired: {show(amps, 'A', 2)} with {volts(across, 2)} across it"
        return Device(part.ref, Mood.ON, words, amps, 0.0, *nets)
    words = f"blocks ({volts(across, 3)} across it)"
    if abs(gate) < MAY_FIRE or abs(across) < LEAST_VOLTS:
        return Device(part.ref, Mood.OFF, words, amps, 0.0, *nets)
    fires = "fires" if abs(gate) >= FIRES else "may fire, if it is a sensitive one"
    words = f"{fires}: {show(abs(gate), 'A', 2)} into its gate"
    return Device(part.ref, Mood.FIRES, words, amps, 0.0, *nets)


def legs_of(found: Standing, part: Part) -> list[tuple[str, ...]]:
    """Return the nets of every branch of a part, in their order."""
    return [one.nets for one in found.circuit.placed if one.owner == part.ref]


def _diode(one: Stood, branch: Junction) -> Device:
    ref, across, amps = one.part.ref, one.over(0, 1), float(one.amps[0])
    nets = (one.nets[0], one.nets[1])
    if amps > FLOWS:
        words = f"conducts {show(amps, 'A', 2)} with {volts(across, 2)} across it"
        return Device(ref, Mood.CONDUCTS, words, amps, 0.0, (), nets)
    limit = branch.breakdown
    if limit and limit.typical and -across > BREAKS * limit.typical and -amps > FLOWS:
        words = f"clamps at {volts(-across, 3)} with {show(-amps, 'A', 2)}"
        return Device(ref, Mood.CLAMPS, words, -amps, 0.0, (), nets)
    blocks = f"blocks ({volts(-across, 3)} against it)"
    words = blocks if across < -LEAST_VOLTS else IDLE
    return Device(ref, Mood.BLOCKS, words, abs(amps), 0.0, (), nets)


def _relay(one: Stood, found: Standing) -> Device:
    """Tell a relay by what is across its coil."""
    pins = one.part.pins
    across = abs(found.across(pins["a1"], pins["a2"]))
    ohms = one.part.quantity("rdc").typical
    amps = across / ohms if ohms else 0.0
    flow = f"{volts(across, 3)} across its coil, {show(amps, 'A', 2)}"
    mood = Mood.ON if amps > FLOWS and across > 1.0 else Mood.OFF
    words = flow if mood is Mood.ON else "nothing across its coil"
    return Device(one.part.ref, mood, words, amps, 0.0, (), (pins["a1"], pins["a2"]))
