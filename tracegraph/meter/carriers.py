"""What carries the meter's current: branches, and ways through transistors."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from tracegraph.display import show
from tracegraph.meter.path import Edge, Leaf
from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.currents import terminal_currents
from tracegraph.network.place import Placed
from tracegraph.stage.branch import Channel, Conductor, Junction, Transistor
from tracegraph.stage.stage import Stage

LEGS: Mapping[type, tuple[str, str, str]] = MappingProxyType(
    {
        Transistor: ("base", "collector", "emitter"),
        Channel: ("gate", "drain", "source"),
    }
)


class Carrier(NamedTuple):
    """A branch, or a way through a transistor, that carries noticeable current.

    Attributes:
        owner: Designator, or the line it comes from.
        edge: Where it leads, with its words.
        watts: Power in it, which ranks it.
        junction: Whether it is a junction.
        base: Node and amperes of the base that turns it on, or None.
    """

    owner: str
    edge: Edge
    watts: float
    junction: bool
    base: tuple[int, float] | None = None


def carriers(
    stage: Stage, circuit: Circuit, nodes: Floats, amps: float, share: float
) -> list[Carrier]:
    """Return what carries a share of the meter's current, most power first.

    Args:
        stage: The section.
        circuit: Its circuit.
        nodes: Node voltages of one reading.
        amps: What the meter delivers.
        share: Least part of it that counts.
    """
    least = share * abs(amps)
    found = [
        one
        for placed, ends, flows in legs(circuit, nodes)
        if np.abs(flows).max(initial=0.0) > least > 0.0
        for one in _ways(stage, placed, ends, flows, nodes, least)
    ]
    return sorted(found, key=lambda one: -one.watts)


def legs(circuit: Circuit, nodes: Floats) -> Iterator[tuple[Placed, list[int], Floats]]:
    """Yield every branch with its nodes and the current into each of its terminals."""
    amps = terminal_currents(circuit, nodes[None, :])
    for placed, name, row in circuit.by_class():
        yield placed, circuit.ends[name][row].tolist(), amps[name][0, row]


def _ways(
    stage: Stage,
    placed: Placed,
    ends: list[int],
    flows: Floats,
    nodes: Floats,
    least: float,
) -> Iterator[Carrier]:
    """Yield the ways through one branch: one, or two where a base current counts too."""
    branch = placed.branch
    if isinstance(branch, Transistor | Channel):
        yield from _through(placed, ends, flows, nodes, least)
    elif len(ends) == 2:
        edge = Edge(ends[0], ends[1], Leaf(named(stage, placed)))
        watts = abs(float(flows[0]) * _drop(nodes, edge))
        yield Carrier(placed.owner, edge, watts, isinstance(branch, Junction))


def _through(
    placed: Placed, ends: list[int], flows: Floats, nodes: Floats, least: float
) -> Iterator[Carrier]:
    """Yield the ways between a transistor's strongest leg and the others that count."""
    words = LEGS[type(placed.branch)]
    strong, *others = (int(leg) for leg in np.argsort(-np.abs(flows), kind="stable"))
    for other in others:
        if abs(flows[other]) <= least:
            continue
        into, out = (strong, other) if flows[strong] > 0 else (other, strong)
        conducts = {into, out} == {1, 2}
        text = f"{placed.owner} conducting {words[into]} to {words[out]}"
        if not conducts:
            text = f"the {words[0]}-{words[into + out]} junction of {placed.owner}"
        edge = Edge(ends[strong], ends[other], Leaf(text))
        base = (ends[0], float(flows[0])) if conducts else None
        watts = abs(float(flows[other]) * _drop(nodes, edge))
        yield Carrier(
            placed.owner, edge, watts, isinstance(placed.branch, Transistor), base
        )


def _drop(nodes: Floats, edge: Edge) -> float:
    return float(nodes[edge.a] - nodes[edge.b])


def named(stage: Stage, placed: Placed) -> str:
    """Return a branch in the trade's words: `R14 47 Ω`, `the body diode of Q13`."""
    branch, part = placed.branch, stage.part(placed.owner)
    if isinstance(branch, Conductor):
        return f"{placed.owner} {show(branch.ohms.typical or 0.0, 'ohm')}"
    if not isinstance(branch, Junction) or part is None or len(part.pins) <= 2:
        return placed.owner
    if branch.family == "pin":
        return f"{placed.owner}'s usual pin junction {branch.anode} to {branch.cathode}"
    ends = {branch.anode, branch.cathode}
    if ends == {"d", "s"}:
        return f"the body diode of {placed.owner}"
    if ends == {"c", "e"}:
        return f"the antiparallel diode of {placed.owner}"
    return f"{placed.owner}'s diode {branch.anode} to {branch.cathode}"
