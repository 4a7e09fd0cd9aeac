"""What resistors and capacitors in and around supplies are there for."""

from tracegraph.stage.duties.around import STOCK, Around, both_ways, ends
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.jobs import GATED, job_of, source_of
from tracegraph.stage.part import Part

START_OHMS = 47e3


def start_up(around: Around, part: Part) -> Duty | None:
    """Return the duty of a great resistor, or a chain of them, to a chip's supply."""
    ohms = part.quantity("r").typical
    if not ohms or ohms < START_OHMS:
        return None
    a, b = around.whole(part)
    for near, far in ((a, b), (b, a)):
        chip = around.at(near, part, ("ic", "driver"), ("vcc", "vdd"))
        loose = near not in around.rails | around.grounds
        stocked = loose and around.stock(near, part) and not _tapped(around, part, near)
        if (chip or stocked) and far in around.rails:
            name = around.called(chip.ref) if chip else around.called(near)
            lost = f"{name} gets no supply to start with"
            return Duty("start-up resistor", lost, lost, "it runs hot")
    return None


def _tapped(around: Around, part: Part, net: str) -> bool:
    """Return whether a resistor leads from a net on to ground: a divider's tap."""
    return any(
        job_of(other) == "resistance" and set(ends(other)) & around.grounds
        for other, _ in around.on(net, part)
        if len(other.pins) == 2
    )


def bleeder(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor, or a chain of them, across a capacitor."""
    a, b = around.whole(part)
    store = around.beside(part, ("capacitance",)) or _across(around, part, {a, b})
    if store is None:
        return None
    loose = set(ends(part)) - around.rails - around.grounds
    clamped = any(around.at(end, part, ("diode",), ("k",)) for end in loose)
    if clamped and not around.grounds & set(ends(part)):
        lost = f"{around.called(store.ref)} fills up and clamps no more"
        return Duty("clamp resistor", lost, lost, "it runs hot")
    name, farads = around.called(store.ref), store.quantity("c").typical
    if {a, b} <= around.alternating:
        lost = f"{name} keeps its charge after unplugging: the plug's pins may bite"
        return Duty("bleeder", lost, lost, "it runs hot")
    if farads and farads >= STOCK:
        lost = f"{name} keeps its charge after switching off: measure before touching"
        return Duty("bleeder", lost, lost, "it runs hot")
    return None


def _across(around: Around, part: Part, nets: set[str]) -> Part | None:
    """Return a capacitor between the two ends of a chain."""
    for other, _ in around.on(min(nets), part):
        if job_of(other) == "capacitance" and set(ends(other)) == nets:
            return other
    return None


def after_rectifier(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor in series with a supply's diode."""
    for near, far in both_ways(part):
        diode = around.alone_with(near, part)
        if diode is None or job_of(diode) != "diode":
            continue
        name = around.called(far)
        if diode.pins["k"] == near and (far in around.rails or around.stock(far, part)):
            return Duty(
                "surge resistor of the supply",
                f"{name} gets no supply from {around.called(diode.ref)}",
                f"{name} sags",
                f"spikes of the winding lift {name}",
            )
        if around.at(diode.pins["k"], diode, ("bridgedriver",), ("vb",)):
            lost = "the high side gets no supply"
            return Duty("bootstrap resistor", lost, lost, "the charging surge is great")
    return None


def smoothing(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor across a supply, or across one half of it."""
    for near, far in both_ways(part):
        name, farads = around.called(near), part.quantity("c").typical or 0.0
        held = far in around.returns or _halfway(around, part, far)
        if near not in around.rails or not held:
            continue
        if farads >= RESERVOIR:
            return Duty("reservoir", f"{name} sags and ripples", "", f"{name} ripples")
        return Duty("decoupling", f"switching spikes stand on {name}")
    return None


def _halfway(around: Around, part: Part, net: str) -> bool:
    """Return whether a net is held between a rail and its return by another part."""
    return any(
        job_of(other) in {"capacitance", "clamp"}
        and around.far(other, net) in around.returns
        for other, _ in around.on(net, part)
        if len(other.pins) == 2
    )


def split(around: Around, part: Part) -> Duty | None:
    """Return the duty of a zener that lifts a power device's source over its supply."""
    net = part.pins["k"]
    device = around.at(net, part, GATED, ("s", "e"))
    if device is None or part.pins["a"] not in around.returns | around.grounds:
        return None
    if around.behind(source_of(device)) != around.behind(net):
        return None
    name, gate = around.called(net), around.called(device.ref)
    return Duty(
        "zener of the split supply",
        f"nothing holds {name} over the negative end: the drive of {gate} is off both ways",
        f"{gate} gets too few volts to turn on",
        f"{gate} gets too few volts below zero when off",
    )


RESERVOIR = 10e-6  # farads from which a capacitor smooths, not only decouples
