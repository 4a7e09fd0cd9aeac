"""What stands at the edge of a section: plugs, relays, windings, lamps and loads."""

from tracegraph.listing import listed
from tracegraph.stage.duties.around import Around, both_ways, ends
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.part import Part

_LIT = ("opto", "optodriver")
_SHOWN = 3  # nets that are named


def plug(around: Around, part: Part) -> Duty | None:
    """Return the duty of a connector."""
    nets = list(dict.fromkeys(part.pins.values()))
    if not nets:
        return None
    nets = [net for net in nets if net not in around.grounds] or nets
    named = [around.called(net) for net in nets]
    if named[_SHOWN:]:
        named = [*named[: _SHOWN - 1], "others"]
    verb = "lead" if nets[1:] else "leads"
    return Duty("connector", f"{listed(named)} {verb} nowhere")


def test_point(around: Around, part: Part) -> Duty | None:
    """Return the duty of a test point."""
    net = next(iter(part.pins.values()), None)
    if net is None:
        return None
    return Duty("test point", f"{around.called(net)} has no place to be probed")


def relay(around: Around, part: Part) -> Duty | None:
    """Return the duty of a relay, told by the contacts that were traced."""
    com, made = part.pins.get("com"), part.pins.get("no", part.pins.get("nc"))
    if com and made:
        for other, _ in around.on(com, part):
            if made in other.pins.values() and around.in_the_way(other):
                lost = f"{around.called(other.ref)} stays in the way, and burns"
                return Duty("bypass relay of the in-rush limiter", lost)
        lost = f"{around.called(made)} is never switched to {around.called(com)}"
        return Duty("relay", lost)
    return Duty("relay", "what it switches stays as it is")


def indicator(around: Around, part: Part) -> Duty | None:
    """Return the duty of a light-emitting diode."""
    for near, _ in both_ways(part):
        light = around.at(near, part, _LIT, ("a", "k"))
        if light and around.alone_with(near, part):
            name = around.called(light.ref)
            return Duty("indicator", f"{name} gets no current: it is lit through it")
    return Duty("indicator", "no light shows")


def winding(around: Around, part: Part) -> Duty | None:
    """Return the duty of a transformer's winding."""
    for near, far in both_ways(part):
        switch = around.at(near, part, ("power switch", "npn"), ("d", "c"))
        if switch and far in around.rails:
            lost = f"{around.called(switch.ref)} switches nothing"
            return Duty("primary winding", lost)
    for near, _ in both_ways(part):
        if near in around.grounds:
            continue
        diode = around.at(near, part, ("diode",), ("a", "k"))
        if diode or near in around.alternating:
            net = diode.pins["k"] if diode else near
            other = around.alone_with(net, diode) if diode else None
            goal = around.far(other, net) if other and len(other.pins) == 2 else net
            return Duty("supply winding", f"{around.called(goal)} gets no supply")
        if around.gated(near, part):
            return Duty("gate drive winding", "the gate gets no drive")
    return None


def load(around: Around, part: Part) -> Duty | None:
    """Return the duty of a motor, lamp, heater or buzzer, or of a load resistor."""
    a, b = (around.called(net) for net in ends(part))
    return Duty("load", f"nothing draws current between {a} and {b}")


def load_resistor(around: Around, part: Part) -> Duty | None:
    """Return the duty of what was traced as a load."""
    return load(around, part) if part.kind.word == "load" else None


def clock(around: Around, part: Part) -> Duty | None:
    """Return the duty of a crystal."""
    chip = around.beside(part, ("ic",))
    name = around.called(chip.ref) if chip else "the chip"
    return Duty("clock", f"{name} has no clock")


def current_transformer(_around: Around, _part: Part) -> Duty | None:
    """Return the duty of a current transformer."""
    return Duty("current sense", "the current is not seen")
