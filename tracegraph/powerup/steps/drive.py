"""Step five: the drive at the empty gate."""

from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.listing import listed
from tracegraph.powerup.cautions import both_sides, live
from tracegraph.powerup.driving import Driving
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.record import Read, Step
from tracegraph.powerup.sizing import bootstrap_charge
from tracegraph.powerup.standin import Shape, floating_feet, shape
from tracegraph.powerup.steps.control import told
from tracegraph.stage.jobs import gate_of, job_of, source_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Input, Stage
from tracegraph.stage.state import in_state

FOLLOWED = 1  # gates whose waves are followed in time: `tracegraph wave` has the rest
SWING = 1.0  # volts between states, under which a gate is not driven by them
BOOTSTRAP_DROOP = 0.5  # volts that it may lose while on: common practice, no source


def drive(facts: Facts) -> Step | None:
    """Return what is to be seen at the gates, or None where nothing has one."""
    if not facts.drives:
        return None
    return Step(
        "drive",
        "The drive, still without the power device",
        live=True,
        cautions=(*live(facts), *both_sides(facts)),
        do=tuple(_do(facts)),
        read=tuple(_waves(facts)),
        need=("every gate follows its drive, from one level to the other and back",),
        stop=(
            "a gate that stays up, or rests half-way: the device would die of it",
            "a gate that falls slowly, or rings beyond its rating",
        ),
        unknown=tuple(_unknown(facts)),
    )


def _do(facts: Facts) -> Iterator[str]:
    rates: dict[str, list[str]] = {}
    for one in _inputs(facts):
        if one.hertz:
            share = f", {show(one.duty, '%', 2)} high" if one.duty is not None else ""
            rates.setdefault(f"{show(one.hertz, 'Hz')}{share}", []).append(one.net)
    for rate, nets in rates.items():
        each = ", one after the other" if len(nets) > 1 else ""
        yield f"give {listed(nets)} {rate}{each}, or let the controller do it"
    yield (
        "scope on the gate, its other lead on the source, by a differential probe"
        if (facts.mains)
        else "scope on the gate, its ground on the source, one clip at a time"
    )
    for foot, ground in floating_feet(facts.drives):
        yield (
            f"join {foot} to {ground} with a wire as long as the devices are out, so that "
            "the bootstrap capacitor fills; take it off before they go in"
        )
    for quiet in facts.link.quiet:
        yield f"no pulses are no fault while {quiet.when}: {quiet.why}"
    yield from _bootstraps(facts)


def _inputs(facts: Facts) -> list[Input]:
    return list({i.net: i for one in facts.drives for i in one.inputs}.values())


def _waves(facts: Facts) -> Iterator[Read]:
    """Yield what a scope shows at each gate; of sister channels, one is followed."""
    followed = 0
    for one in facts.drives:
        gate, foot = gate_of(one.device), source_of(one.device)
        if not gate or not foot:
            continue
        seen = None
        if followed < FOLLOWED and facts.states and any(i.hertz for i in one.inputs):
            seen = shape(_rested(facts), facts.drives, one)
            followed += 1
        over = facts.over(gate)
        yield _seen(one, gate, over, seen) if seen else _between(facts, one, gate, over)


def _rested(facts: Facts) -> Stage:
    """Return the section with its control rails alone, in its first solved state."""
    return in_state(facts.control_stage, facts.states[0].state)


def _seen(one: Driving, gate: str, over: str, seen: Shape) -> Read:
    """Return a wave that was followed in time."""
    menu = seen.measures
    wave = f"{told(menu.base)} to {told(menu.top)}"
    if menu.hertz:
        wave += f", {show(menu.hertz, 'Hz')}"
    if menu.duty is not None:
        wave += f", {show(menu.duty, '%', 2)} high"
    edges = [
        f"{name} {show(value, 's', 2)}"
        for name, value in (("rise", menu.rise), ("fall", menu.fall))
        if value
    ]
    wave += f"; {', '.join(edges)}" if edges else ""
    why = _threshold(one.device, menu.base, menu.top)
    return Read(gate, over, "scope", wave, menu.base, menu.top, why=why)


def _between(facts: Facts, one: Driving, gate: str, over: str) -> Read:
    """Return the levels that a gate goes between, as the states tell."""
    levels = [
        volts
        for state in facts.states
        if (volts := state.between(gate, over)) is not None
    ]
    if len(levels) < 2 or max(levels) - min(levels) < SWING:
        return Read(gate, over, "scope", "not known", why=_why(facts, one))
    low, high = min(levels), max(levels)
    wave = f"{told(low)} to {told(high)}"
    rate = next((i for i in one.inputs if i.hertz), None)
    wave += f", {show(rate.hertz, 'Hz')}" if rate and rate.hertz else ""
    why = _threshold(one.device, low, high)
    return Read(gate, over, "scope", wave, low, high, why=why)


def _threshold(part: Part, low: float, high: float) -> str:
    """Return whether the levels are beyond what turns the device on and off."""
    symbol = next((one for one in ("vgsth", "vgeth") if part.has(one)), "")
    if not symbol:
        return ""
    need = part.quantity(symbol)
    if need.typical is None or part.kind.word == "pfet":
        return ""
    span = f"{show(need.low, 'V', 2)} to {show(need.high, 'V', 2)}"
    if high > need.high and low < need.low:
        return f"{part.ref} turns on at {span}: clear of it both ways"
    return f"{part.ref} turns on at {span}: these levels are not clear of it"


def _why(facts: Facts, one: Driving) -> str:
    if one.chip and job_of(one.chip) == "ic":
        return f"{one.chip.package} is not known: look for clean pulses, near 0 V to its supply"
    if one.output == "ho":
        return "a high side holds only as long as its bootstrap is full: pulses, not levels"
    if not facts.states:
        return "no state is declared, or none could be solved"
    return "no declared state moves it"


def _bootstraps(facts: Facts) -> Iterator[str]:
    """Yield how much a bootstrap capacitor loses each time: dV = (Qg + I t) / C."""
    for one in facts.drives:
        if one.output != "ho" or one.chip is None or not one.device.has("qg"):
            continue
        ends = {one.chip.pins.get("vb"), one.chip.pins.get("vs")}
        store = next(
            (
                part
                for part in facts.stage.parts
                if job_of(part) == "capacitance" and set(part.pins.values()) == ends
            ),
            None,
        )
        gate = one.device.quantity("qg").typical
        farads = store.quantity("c").typical if store else None
        rate = next((i for i in one.inputs if i.hertz and i.duty), None)
        if store is None or farads is None or gate is None or rate is None:
            continue
        if not rate.hertz or not rate.duty:
            continue
        leak = _bleeder_amperes(facts, one)
        lost = bootstrap_charge(gate, leak, rate.duty / rate.hertz) / farads
        verdict = (
            "plenty" if lost <= BOOTSTRAP_DROOP else "too little: look at its value"
        )
        yield (
            f"{store.ref} ({show(farads, 'F')}) loses {show(lost, 'V', 2)} while "
            f"{one.device.ref} is on, {verdict}; dry, it sags at low frequency only"
        )


def _bleeder_amperes(facts: Facts, one: Driving) -> float:
    """Return what the gate's bleeder takes out of the bootstrap capacitor."""
    ends = {gate_of(one.device), source_of(one.device)}
    supply = (
        next((r.volts.typical for r in facts.control if r.volts.known), None) or 0.0
    )
    return sum(
        supply / ohms
        for part in facts.stage.parts
        if job_of(part) == "resistance" and set(part.pins.values()) == ends
        for ohms in (part.quantity("r").typical,)
        if ohms
    )


def _unknown(facts: Facts) -> Iterator[str]:
    for one in facts.drives:
        if not one.chip and not one.inputs:
            yield f"what drives {one.device.ref} is not traced: find it before you go on"
    slow = [one.net for one in _inputs(facts) if not one.hertz]
    if slow:
        yield f"how often {listed(slow)} switches is not written: no rate is shown"
