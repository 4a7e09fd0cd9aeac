"""Pins that something unknown may drive: what hangs on them has no level until measured.

A chip of which nothing is known, or an output that no traced wire supplies, may hold its
pin low, lift it to the chip's supply, or leave it alone.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from tracegraph.meter.live.standing import Standing
from tracegraph.network.circuit import Floats
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.stage.branch import Follower
from tracegraph.stage.kinds.chip import ground_of, supply_of
from tracegraph.stage.part import Part
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage

PIN_OHMS = 50.0  # behind a chip's output; common practice, no source
USUAL_VOLTS = 12.0  # where nothing tells a chip's supply
SUPPLIED = frozenset({"supply", "ground", "input"})
MOST_VOLTS = 30.0  # no controller lives on more; common practice, no source


class OpenEnd(NamedTuple):
    """A pin that something unknown may drive.

    Attributes:
        pin: The pin, `U61.6`.
        net: Its net.
        ground: The chip's ground.
        volts: What it may lift the net to.
    """

    pin: str
    net: str
    ground: str
    volts: float


def open_ends(found: Standing) -> tuple[OpenEnd, ...]:
    """Return the pins that something unknown may drive, in the order of the parts."""
    stage = found.stage
    stiff = {rail.net for rail in stage.rails} | {one.net for one in stage.grounds}
    grounds = grounds_of(stage, live=True)
    ends: list[OpenEnd] = []
    for part in stage.parts:
        for pin in _unknown_pins(part) if part.fitted else ():
            net = part.pins[pin]
            ground = _ground(part, stage) or grounds.get(net, "")
            if net not in stiff and ground and net != ground:
                volts = _supply(found, part, ground)
                ends.append(OpenEnd(f"{part.ref}.{pin}", net, ground, volts))
    return tuple(ends)


def _unknown_pins(part: Part) -> Iterator[str]:
    """Yield the pins that no law of the part says anything of."""
    if part.kind.word == "ic":
        known = {ground_of(part), supply_of(part)}
        yield from (pin for pin in part.pins if pin not in known)
        return
    if not any(spec.role in SUPPLIED for spec in part.kind.pins):
        return  # a bridge has outputs, too, but nothing of its own drives them
    model = part.kind.live or part.kind.cold
    driven = {one.out for one in model(part) if isinstance(one, Follower)}
    for spec in part.kind.pins:
        told = "output" in spec.role and spec.name in part.pins
        if told and spec.name not in driven:
            yield spec.name


def _ground(part: Part, stage: Stage) -> str:
    own = ground_of(part)
    if own:
        return part.pins[own]
    grounds = {one.net for one in stage.grounds}
    return next((net for net in part.pins.values() if net in grounds), "")


def _supply(found: Standing, part: Part, ground: str) -> float:
    """Return what a chip may lift its pins to: its supply, else what is usual."""
    pin = supply_of(part)
    rails = {rail.net for rail in found.stage.rails}
    nets = [part.pins[pin]] if pin else [n for n in part.pins.values() if n in rails]
    volts = [abs(found.across(net, ground)) for net in nets]
    good = [one for one in volts if 0.0 < one <= MOST_VOLTS]
    if good:
        return max(good)
    own = [abs(found.across(net, ground)) for net in part.pins.values()]
    return max([USUAL_VOLTS, *(one for one in own if one <= MOST_VOLTS)])


def driven(found: Standing, end: OpenEnd) -> Floats:
    """Return the nodes with the pin held low, then lifted, (2, nodes); NaN if not found."""
    nodes = found.circuit.nodes
    pair = np.array([[nodes[end.net], nodes[end.ground]]])
    rows = []
    for volts in (0.0, end.volts):
        drive = Drive(volts / PIN_OHMS, PIN_OHMS, volts)
        start = found.nodes[None, :]
        rows.append(solve_items(found.circuit, pair, drive, start=start)[1][0])
    return np.stack(rows)
