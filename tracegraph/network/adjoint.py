"""How a reading changes with every parameter of the section: one solve a reading.

Tellegen's theorem in its adjoint form (Director & Rohrer, IEEE Trans. Circuit Theory
16, 1969, from memory): put one ampere between the probes of the transposed, linearised
section; the voltage that it raises across a branch, times the change of that branch's
own current with a parameter, is the change of the reading, with its sign turned.
"""

from types import MappingProxyType

import numpy as np

from tracegraph.network.circuit import FIELDS, Circuit, Floats, Ints
from tracegraph.network.dense import ENTRIES, problem_of
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.newton import matrix, solve_scaled, some
from tracegraph.network.system import System, lines, system
from tracegraph.stage.branch import Bypass, Channel, Follower, Junction, Transistor

STEP = 1e-5  # share of a parameter over which a device's law is differenced
LEAST_STEP = 1e-9
PORTS = MappingProxyType(
    {Junction: 1, Transistor: 2, Channel: 2, Follower: 3, Bypass: 1}
)


def sensitivities(
    circuit: Circuit,
    pairs: Ints,
    drive: Drive,
    solution: Solution,
    nodes: Floats,
    values: Floats | None = None,
) -> Floats:
    """Return how red over black changes with every parameter, (items, parameters).

    Args:
        circuit: The section.
        pairs: Nodes under red and black, (items, 2).
        drive: The meter; its source yields as the voltage moves.
        solution: The solved readings.
        nodes: Their node voltages, (items, nodes).
        values: Parameters they were solved with, one vector or one an item.

    Returns:
        Volts per unit of each parameter; zero where no path leads from red to black,
        NaN where the reading did not converge.
    """
    values = circuit.values if values is None else values
    equations = system(circuit, values)
    size = equations.tree.potentials.shape[1]
    chunk = max(1, ENTRIES // (size * max(size, len(equations.port_paths)) + 1))
    found = np.zeros((len(pairs), len(circuit.values)))
    for first in range(0, len(pairs), chunk):
        rows = np.arange(first, min(first + chunk, len(pairs)))
        volts = solution.volts[rows]
        found[rows] = _chunk(
            equations, pairs[rows], drive, volts, nodes[rows], some(values, rows)
        )
    found[~solution.converged] = np.nan
    return found


def _chunk(
    equations: System,
    pairs: Ints,
    drive: Drive,
    volts: Floats,
    nodes: Floats,
    values: Floats,
) -> Floats:
    problem = problem_of(equations, pairs, drive, values)
    nodes, volts = np.nan_to_num(nodes), np.nan_to_num(volts)
    ports = _across(nodes, equations.circuit.ports)
    slopes = equations.law(values, ports).slopes
    straight = equations.straight(problem.lines)
    table = matrix(problem, straight, slopes, drive.current(volts)[1])
    raised = solve_scaled(table.transpose(0, 2, 1), problem.probes)
    found = np.zeros((len(pairs), len(equations.circuit.values)))
    _lines(equations, found, raised @ equations.line_paths.T, nodes, values)
    _devices(equations, found, raised @ equations.port_paths.T, ports, values)
    return found


def _across(nodes: Floats, ends: Ints) -> Floats:
    return np.asarray(nodes[:, ends[:, 0]] - nodes[:, ends[:, 1]])


def _lines(
    equations: System, found: Floats, raised: Floats, nodes: Floats, values: Floats
) -> None:
    """Enter the changes with the values of conductors and sources."""
    circuit = equations.circuit
    siemens, emf = lines(circuit, values)
    by_ohms = raised * (_across(nodes, equations.ends) - emf) * siemens**2
    count = circuit.counts["Conductor"]
    found[:, circuit.columns["Conductor.ohms"]] = by_ohms[:, :count]
    found[:, circuit.columns["Source.ohms"]] = by_ohms[:, count:]
    found[:, circuit.columns["Source.volts"]] = (raised * siemens)[:, count:]


def _devices(
    equations: System, found: Floats, raised: Floats, ports: Floats, values: Floats
) -> None:
    """Enter the changes with the devices' parameters, by central differences.

    One parameter of every device of every class is moved at once: a port's current
    depends on its own device's parameters only.
    """
    circuit = equations.circuit
    step = STEP * np.abs(values) + LEAST_STEP
    places = _places(circuit)
    for turn in range(max(len(FIELDS[kind]) for kind in PORTS)):
        moved = {
            kind: circuit.columns[f"{kind.__name__}.{FIELDS[kind][turn]}"]
            for kind in places
            if turn < len(FIELDS[kind])
        }
        up, down = values.copy(), values.copy()
        for columns in moved.values():
            up[..., columns] += step[..., columns]
            down[..., columns] -= step[..., columns]
        change = equations.law(up, ports).amps - equations.law(down, ports).amps
        for kind, columns in moved.items():
            effect = (raised * change)[:, places[kind]]
            effect = effect.reshape(len(raised), PORTS[kind], -1).sum(axis=1)
            found[:, columns] = -effect / (2 * step[..., columns])


def _places(circuit: Circuit) -> dict[type, slice]:
    """Return where the ports of every class lie that the circuit has devices of."""
    found: dict[type, slice] = {}
    first = 0
    for kind, count in PORTS.items():
        ports = count * circuit.counts[kind.__name__]
        if ports:
            found[kind] = slice(first, first + ports)
        first += ports
    return found
