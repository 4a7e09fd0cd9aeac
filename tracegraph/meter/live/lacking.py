"""A live section without each of its parts, or with each bridged: one batch a state.

What a part does at rest shows when it is gone: every such board is the same structure
with some branches switched off or one path closed, so all are solved together, each
from the levels of the healthy section.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from tracegraph.meter.live.standing import briefly
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_placed
from tracegraph.network.currents import terminal_currents
from tracegraph.network.dense import NO_METER, powered, problem_of
from tracegraph.network.dense import Way as Solve
from tracegraph.network.detours import settled
from tracegraph.network.newton import matrix, solve_scaled
from tracegraph.network.place import Placed, place
from tracegraph.network.retune import retuned, without
from tracegraph.network.system import lines, system
from tracegraph.quantity import exact
from tracegraph.stage.branch import Bypass, Channel, Junction, Transistor
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state

SHORT = 1e3  # siemens of a part that has failed to a wire
OPEN = exact(0.0, "S")
Levels = Mapping[str, float]


class Way(NamedTuple):
    """One board of many.

    Attributes:
        off: Owners that carry nothing: parts, or `input PWM` with the controller out.
        short: Two nets that are joined, or None.
    """

    off: tuple[str, ...] = ()
    short: tuple[str, str] | None = None


class Seen(NamedTuple):
    """One board at rest.

    Attributes:
        volts: Of every net over its own ground.
        ohms: What holds it there: the resistance that it shows towards its ground.
        amps: Greatest current into any leg, by owner.
        control: What turns a device on, by designator: gate volts of a channel, base
            amperes of a transistor, amperes of the diode of an optocoupler.
        grip: What holds a device's gate to its source, or base to its emitter, in
            ohms, by designator.
    """

    volts: Levels
    ohms: Levels
    amps: Levels
    control: Levels
    grip: Levels


def seen(
    stage: Stage, state: str, ways: Sequence[Way], near: Sequence[Levels] = ()
) -> tuple[Seen | None, ...]:
    """Return how a section stands in a state, each way; None where it does not settle.

    Args:
        stage: The section; every value known.
        state: Name of a declared state.
        ways: The boards. The first is tried first, and the others start from it.
        near: Levels to begin from: the nearest first, then those in other states.

    Raises:
        StateError: The section declares no such state.
        UnknownValueError: A part has no value.
    """
    section = in_state(stage, state)
    shorts = list(dict.fromkeys(way.short for way in ways if way.short))
    circuit = compile_placed([*place(section, state), *_paths(shorts)], section.nets)
    values = np.array([_values(circuit, way, shorts) for way in ways])
    nodes = _solved(circuit, values, ways, [_volts(circuit, one) for one in near])
    found: list[Seen | None] = [None] * len(ways)
    rows = np.flatnonzero(np.isfinite(nodes).all(axis=1))
    for row, one in zip(
        rows, _told(section, circuit, values[rows], nodes[rows]), strict=True
    ):
        found[row] = one
    return tuple(found)


def _paths(shorts: Sequence[tuple[str, str]]) -> Iterator[Placed]:
    for k, nets in enumerate(shorts):
        yield Placed(f"path {k}", Bypass("a", "b", OPEN), nets)


def _values(circuit: Circuit, way: Way, shorts: Sequence[tuple[str, str]]) -> Floats:
    values = retuned(circuit, way.off).values if way.off else circuit.values.copy()
    if way.short:
        start = circuit.columns["Bypass.siemens"].start
        values[start + shorts.index(way.short)] = SHORT
    return values


def _volts(circuit: Circuit, levels: Levels) -> Floats:
    """Return levels as node voltages; a floating side stands at its own zero."""
    volts = np.zeros(circuit.size)
    for net, level in levels.items():
        if net in circuit.nodes:
            volts[circuit.nodes[net]] = level
    return volts


def _solved(
    circuit: Circuit, values: Floats, ways: Sequence[Way], near: Sequence[Floats]
) -> Floats:
    """Return node voltages, a board a row, NaN where none were found.

    First all together from levels near by; then a board whose own structure is easier,
    the part not even there; at last every net moving only slowly.
    """
    nodes = np.full((len(values), circuit.size), np.nan)
    begin = near[0][None, :] if near else None
    first = powered(circuit, values[:1], begin)[0][0]
    starts = [first, *near] if np.isfinite(first).all() else [*near]
    with np.errstate(over="ignore", invalid="ignore"):
        for start in starts:
            _try(circuit, values, nodes, start, briefly)
        for row in _left(nodes).tolist():
            if starts and ways[row].off and not ways[row].short:
                gone = without(circuit, ways[row].off)
                nodes[row] = powered(gone, start=starts[0][None, :], way=briefly)[0][0]
        if starts:
            _try(circuit, values, nodes, starts[0], settled)
    return nodes


def _left(nodes: Floats) -> Ints:
    return np.flatnonzero(~np.isfinite(nodes).all(axis=1))


def _try(
    circuit: Circuit, values: Floats, nodes: Floats, start: Floats, how: Solve
) -> None:
    """Solve the boards that are left, from one start."""
    left = _left(nodes)
    if left.size:
        begin = np.repeat(start[None, :], len(left), axis=0)
        found, _, good = powered(circuit, values[left], begin, way=how)
        nodes[left[good]] = found[good]


def _told(
    stage: Stage, circuit: Circuit, values: Floats, nodes: Floats
) -> Iterator[Seen]:
    """Yield the boards in words of nets and parts."""
    grounds = grounds_of(stage)
    nets = [net for net in stage.nets if net in circuit.nodes]
    pairs = [(circuit.nodes[net], _zero(circuit, grounds, net)) for net in nets]
    devices = [
        (owner, circuit.nodes[ends[0]], circuit.nodes[ends[2]])
        for owner, branch, ends in circuit.placed
        if isinstance(branch, Channel | Transistor)
    ]
    every = np.array([*pairs, *(pair[1:] for pair in devices)], np.intp)
    every = every.reshape(-1, 2)
    volts = nodes[:, every[:, 0]] - nodes[:, every[:, 1]]
    ohms = _held(circuit, values, nodes, every)
    legs = terminal_currents(circuit, nodes, values)
    owners = [owner for owner, _, _ in devices]
    for row in range(len(nodes)):
        own = {name: table[row] for name, table in legs.items()}
        amps, control = _flows(circuit, own, nodes[row])
        yield Seen(
            dict(zip(nets, volts[row].tolist(), strict=False)),
            dict(zip(nets, ohms[row].tolist(), strict=False)),
            amps,
            control,
            dict(zip(owners, ohms[row, len(nets) :].tolist(), strict=True)),
        )


def _zero(circuit: Circuit, grounds: Mapping[str, str], net: str) -> int:
    """Return the node of the ground that a net is told against."""
    return circuit.nodes.get(grounds.get(net, ""), 0)


def _flows(
    circuit: Circuit, legs: Mapping[str, Floats], nodes: Floats
) -> tuple[dict[str, float], dict[str, float]]:
    """Return the greatest current by owner, and what turns each device on."""
    amps: dict[str, float] = {}
    control: dict[str, float] = {}
    for (owner, branch, _), name, row in circuit.by_class():
        into = legs[name][row]
        amps[owner] = max(amps.get(owner, 0.0), float(np.abs(into).max()))
        if isinstance(branch, Channel):
            gate, _drain, source = circuit.ends[name][row]
            control[owner] = float(branch.polarity * (nodes[gate] - nodes[source]))
        elif isinstance(branch, Transistor):
            control[owner] = float(branch.polarity * into[0])
        elif isinstance(branch, Junction) and branch.family == "infrared led":
            control[owner] = float(into[0])
    return amps, control


def _held(circuit: Circuit, values: Floats, nodes: Floats, pairs: Ints) -> Floats:
    """Return the small-signal resistance between pairs of nodes, (boards, pairs)."""
    equations = system(circuit, values)
    probe = np.zeros((len(nodes), 2), np.intp)
    problem = problem_of(equations, probe, NO_METER, values)
    ports = circuit.ports
    across = nodes[:, ports[:, 0]] - nodes[:, ports[:, 1]]
    slopes = equations.law(values, across).slopes
    straight = equations.straight(lines(circuit, values))
    tables = matrix(problem, straight, slopes, np.zeros(len(nodes)))
    joined = equations.tree.joined(pairs)
    paths = equations.tree.paths(pairs) * joined[:, None]
    ohms = np.empty((len(nodes), len(pairs)))
    for k, path in enumerate(paths):
        many = np.broadcast_to(path, (len(nodes), len(path)))
        ohms[:, k] = np.abs(solve_scaled(tables, many) @ path)
    return np.where(joined, ohms, np.inf)
