"""What chips are there for, as far as their pins and their place tell."""

from tracegraph.stage.duties.around import Around, both_ways
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part


def gate_driver(around: Around, part: Part) -> Duty | None:
    """Return the duty of a driver or buffer."""
    devices, out = around.driven_by(part), part.pins.get("out")
    if devices:
        mates = [
            one
            for one, pin in (around.on(out, part) if out else ())
            if pin == "out" and job_of(one) == "driver"
        ]
        if mates:
            lost = f"only {around.named(mates)} drives {around.named(devices)}: slower"
            return Duty("gate driver in parallel", lost)
        return Duty("gate driver", f"nothing drives {around.named(devices)}")
    return Duty("buffer", f"nothing drives {around.called(out)}") if out else None


def bridge_driver(around: Around, part: Part) -> Duty | None:
    """Return the duty of a half-bridge driver."""
    devices = around.driven_by(part)
    whom = around.named(devices) if devices else "the half bridge"
    return Duty("half-bridge driver", f"nothing drives {whom}")


def controller(around: Around, part: Part) -> Duty | None:
    """Return the duty of a chip without a model: known only where it drives a gate."""
    devices = around.driven_by(part)
    if not devices:
        return None
    return Duty("controller", f"nothing drives {around.named(devices)}")


def amplifier(around: Around, part: Part) -> Duty | None:
    """Return the duty of an operational amplifier, told by its feedback."""
    out, back, into = (part.pins.get(pin) for pin in ("out", "in-", "in+"))
    if out is None:
        return None
    name = around.called(out)
    if out == back and into:
        return Duty("buffer", f"{name} does not follow {around.called(into)}")
    fed = any(
        back in other.pins.values() and other.ref != part.ref
        for other, _ in around.on(out, part)
    )
    return Duty("amplifier", f"{name} says nothing") if back and fed else None


def regulator(around: Around, part: Part) -> Duty | None:
    """Return the duty of a three-pin regulator."""
    out = part.pins.get("out")
    return Duty("regulator", f"{around.called(out)} gets no supply") if out else None


def hall(around: Around, part: Part) -> Duty | None:
    """Return the duty of a Hall sensor."""
    out = part.pins.get("out")
    if out is None:
        return None
    return Duty("Hall sensor", f"{around.called(out)} says nothing of the field")


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


def thyristor(around: Around, part: Part) -> Duty | None:
    """Return the duty of an SCR across a supply, or of a triac in a load's way."""
    if part.kind.word == "triac":
        return Duty("load switch", "the load gets no current")
    high, low = part.pins.get("a", ""), part.pins.get("k", "")
    fed = high in around.rails or around.at(high, part, ("fuse",))
    if fed and low in around.grounds:
        lost = f"nothing shorts {around.called(high)} when it goes too high"
        return Duty("crowbar", lost)
    return None


def thyristor_trigger(around: Around, part: Part) -> Duty | None:
    """Return the duty of a zener or resistor on the way to a thyristor's gate."""
    for near, far in both_ways(part):
        direct = around.at(near, part, ("scr", "triac"), ("g",))
        behind = [
            around.at(around.far(one, near), one, ("scr", "triac"), ("g",))
            for one, _ in around.on(near, part)
            if job_of(one) == "resistance" and len(one.pins) == 2
        ]
        device = direct or next((one for one in behind if one), None)
        if device is None or around.gated(near, part):
            continue
        name = around.called(device.ref)
        if far in around.grounds or far == device.pins.get("k"):
            lost = f"leakage alone may fire {name}"
            return Duty("gate-cathode resistor", lost, lost, f"{name} never fires")
        if job_of(part) == "clamp":
            lost, late = f"{name} never fires", f"{name} fires too late"
            return Duty("trigger zener", lost, late, f"{name} fires too early")
        return Duty("gate resistor", f"nothing fires {name}") if direct else None
    return None
