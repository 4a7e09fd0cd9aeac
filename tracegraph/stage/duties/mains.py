"""What stands between a plug and a rail: bridges, limiters, chokes, suppressors."""

from tracegraph.stage.duties.around import Around, both_ways, ends
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part


def bridge(around: Around, part: Part) -> Duty | None:
    """Return the duty of a bridge rectifier."""
    plus = part.pins.get("+")
    if plus is None:
        return None
    return Duty("bridge rectifier", f"{around.called(plus)} gets no supply")


def in_rush(around: Around, part: Part) -> Duty | None:
    """Return the duty of a thermistor or resistor in the way of the mains."""
    if part.kind.word == "ptc" or not set(ends(part)) <= around.alternating:
        return None
    if job_of(part) == "resistance" and not around.in_the_way(part):
        return None
    return Duty(
        "in-rush limiter",
        "the board gets no mains",
        "the rail behind it sags under load",
        "the fuse may blow when the bulk capacitor is charged",
    )


def sensor(around: Around, part: Part) -> Duty | None:
    """Return the duty of a thermistor that a resistor feeds from a rail."""
    for near, _ in both_ways(part):
        for other, _pin in around.on(near, part):
            rail = around.far(other, near) if len(other.pins) == 2 else ""
            if job_of(other) == "resistance" and rail in around.rails:
                name, goal = around.called(near), around.called(rail)
                lost = f"{name} goes to {goal}, whatever the temperature"
                return Duty("temperature sensor", lost)
    return None


def suppression(around: Around, part: Part) -> Duty | None:
    """Return the duty of a capacitor across the mains."""
    if not set(ends(part)) <= around.alternating:
        return None
    lost = "the noise of the switching goes out into the mains"
    return Duty("interference capacitor", lost)


def choke(around: Around, part: Part) -> Duty | None:
    """Return the duty of an inductor: against noise, to smooth, or to store."""
    if len(part.pins) != 2:
        return None
    if set(ends(part)) <= around.alternating:
        lost = f"{around.called(ends(part)[1])} gets no mains"
        return Duty("interference choke", lost)
    for near, far in both_ways(part):
        switch = around.at(near, part, ("power switch",), ("d", "c"))
        diode = around.at(near, part, ("diode",), ("a",))
        if switch and diode:
            return _switched(around, switch, diode.pins["k"], far)
        if around.stock(far, part) and around.at(near, part, ("diode",), ("k",)):
            return Duty("output choke", f"{around.called(far)} gets no supply")
    fed = [far for near, far in both_ways(part) if near in around.rails]
    if fed and fed[0] not in around.grounds:
        return Duty("supply choke", f"{around.called(fed[0])} gets no supply")
    return None


def _switched(around: Around, switch: Part, goal: str, supply: str) -> Duty:
    """Return the duty of a coil that a switch pulls down, a diode beside it."""
    if goal == supply:
        return Duty("load coil", f"{around.called(switch.ref)} switches nothing")
    return Duty("boost choke", f"{around.called(goal)} gets no supply")


def contact(around: Around, part: Part) -> Duty | None:
    """Return the duty of a thermostat or of a switch."""
    if len(part.pins) != 2:
        return None
    fed, goal = ends(part)
    if goal in around.rails:
        fed, goal = goal, fed
    lost = f"{around.called(goal)} is never joined to {around.called(fed)}"
    if part.kind.word == "thermostat":
        return Duty("thermal cut-out", lost)
    return Duty("contact", lost)


def link(around: Around, part: Part) -> Duty | None:
    """Return the duty of a jumper or zero-ohm link."""
    a, b = (around.called(net) for net in ends(part))
    return Duty("link", f"{a} and {b} are apart")
