"""What drives a power device: the way back from its gate to a chip or an input."""

from collections.abc import Iterator
from typing import NamedTuple

from tracegraph.stage.jobs import GATED, drain_of, gate_of, job_of, source_of
from tracegraph.stage.kinds.chip import supply_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Input, Stage

DRIVERS = frozenset({"driver", "bridgedriver", "optodriver", "ic", "opamp"})
_CARRY = frozenset(
    {"resistance", "diode", "npn", "pnp", "jumper", "coil", "capacitance", "winding"}
)
POWER_AMPERES = 1.0  # a bipolar transistor rated for this much is a power device


class Driving(NamedTuple):
    """What drives a power device.

    Attributes:
        device: The power device.
        chip: The chip whose output leads to its gate, or None.
        output: That chip's output pin.
        supply: Net that supplies the chip, or that a discrete drive hangs on.
        inputs: Inputs of the section that lie behind.
        way: Parts between gate and chip or input, in the order found.
    """

    device: Part
    chip: Part | None = None
    output: str = ""
    supply: str = ""
    inputs: tuple[Input, ...] = ()
    way: tuple[str, ...] = ()


def devices(stage: Stage) -> tuple[Part, ...]:
    """Return the power devices that are fitted."""
    return tuple(one for one in stage.parts if one.fitted and _is_power(one))


def _is_power(part: Part) -> bool:
    if job_of(part) in GATED:
        return True
    rated = part.rated("A")
    strong = rated is not None and rated.high >= POWER_AMPERES
    return job_of(part) in {"npn", "pnp"} and strong


def gate_resistors(stage: Stage, device: Part) -> tuple[Part, ...]:
    """Return the resistors on the gate that don't only lead to the source."""
    gate, foot = gate_of(device), source_of(device)
    return tuple(
        one
        for one in _on(stage, gate)
        if job_of(one) == "resistance" and not {gate, foot} >= set(one.pins.values())
    )


def driving(stage: Stage, device: Part) -> Driving:
    """Return what drives a power device, found from its gate backwards.

    Nets on which nothing but the supply is decided (grounds, rails, the device's own
    source and drain) end the way.
    """
    stop = {*stage.references, source_of(device), drain_of(device)}
    by_net = {one.net: one for one in stage.inputs}
    nets, seen, way = [gate_of(device)], {device.ref}, list[str]()
    visited, inputs = set(nets), list[Input]()
    chip, output = None, ""
    while nets:
        net = nets.pop(0)
        if net in by_net:
            inputs.append(by_net[net])
        for part in _on(stage, net):
            if part.ref in seen:
                continue
            seen.add(part.ref)
            if job_of(part) in DRIVERS and not _listens(part, net):
                if chip is None:
                    chip = part
                    output = next(p for p, own in part.pins.items() if own == net)
                new = _inputs_of(part)
            elif job_of(part) in _CARRY:
                new = list(part.pins.values())
                way.append(part.ref)
            else:
                continue
            fresh = [one for one in new if one not in {*visited, *stop}]
            visited.update(fresh)
            nets += fresh
    supply = _supply(stage, chip, tuple(way))
    return Driving(device, chip, output, supply, tuple(inputs), tuple(way))


def _on(stage: Stage, net: str) -> Iterator[Part]:
    """Yield the fitted parts on a net, each once."""
    refs = dict.fromkeys(pin.part for pin in stage.nets.get(net, ()))
    for ref in refs:
        part = stage.part(ref)
        if part and part.fitted:
            yield part


def _listens(part: Part, net: str) -> bool:
    """Return whether a chip only listens on a net, as a sense pin does."""
    pins = {pin for pin, own in part.pins.items() if own == net}
    roles = {spec.role for spec in part.kind.pins if spec.name in pins}
    if part.kind.word == "ic":
        return bool({pin.lower() for pin in pins} & {"cs", "fb", "sense", "isense"})
    return not any("output" in role for role in roles)


def _inputs_of(part: Part) -> list[str]:
    """Return the nets that a driver follows."""
    roles = {spec.name: spec.role for spec in part.kind.pins}
    return [
        net
        for pin, net in part.pins.items()
        if "input" in roles.get(pin, "") or roles.get(pin) in {"anode", "control"}
    ]


def supply_net(part: Part) -> str:
    """Return the net that supplies a chip; empty if not traced."""
    named = {spec.name for spec in part.kind.pins if spec.role == "supply"}
    pin = next((pin for pin in part.pins if pin in named), "") or supply_of(part)
    if not pin:
        pin = next((one for one in part.pins if one.lower() in {"vcc", "vdd"}), "")
    return part.pins.get(pin, "")


def _supply(stage: Stage, chip: Part | None, way: tuple[str, ...]) -> str:
    """Return the supply of a drive: the chip's, or the rail of a discrete one."""
    if chip:
        found = supply_net(chip)
        return found or _named_like_a_supply(chip)
    rails = {one.net for one in stage.rails}
    for ref in way:
        part = stage.part(ref)
        for net in part.pins.values() if part else ():
            if net in rails:
                return net
    return ""


def _named_like_a_supply(chip: Part) -> str:
    """Return a net called like a supply on a chip whose pins have only numbers."""
    names = ("vcc", "vdd", "vin", "v+")
    return next((net for net in chip.pins.values() if net.lower() in names), "")
