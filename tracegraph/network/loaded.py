"""What a voltmeter shows of live sections that are solved already: it loads the net.

Seen from two points a section is a voltage behind a resistance, as far as the voltmeter
moves it little (Thevenin; any textbook of network theory). Where it moves it far, a net
that hardly anything holds, the section is solved again with the meter on it.
"""

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import ENTRIES, NO_METER, problem_of, solve_items
from tracegraph.network.drive import Drive
from tracegraph.network.newton import Problem, State, matrix, newton, solve_scaled, some
from tracegraph.network.system import System, system

LITTLE = 0.005  # volts: a fifth of what bends a junction
ROUNDS = 30


def loaded(
    circuit: Circuit, values: Floats, nodes: Floats, pairs: Ints, drive: Drive
) -> Floats:
    """Return the volts that a meter shows, (items, pairs).

    Args:
        circuit: The structure, in a powered state.
        values: Parameters, one vector an item.
        nodes: Node voltages of every item without a meter, (items, nodes).
        pairs: Nodes under red and black, (pairs, 2).
        drive: The voltmeter: nothing behind its resistance.

    Returns:
        NaN where nothing leads from red to black, or no answer was found.
    """
    equations = system(circuit, values)
    joined = equations.tree.joined(pairs)
    free = nodes[:, pairs[:, 0]] - nodes[:, pairs[:, 1]]
    ohms = _held_by(equations, values, nodes, equations.tree.paths(pairs))
    with np.errstate(invalid="ignore"):
        shown = free * drive.ohms / (drive.ohms + ohms)
        far = ~(np.abs(free - shown) <= LITTLE) & joined
    items, places = np.nonzero(far & np.isfinite(free))
    if items.size:
        solved, _ = solve_items(
            circuit, pairs[places], drive, values[items], nodes[items], _briefly
        )
        shown[items, places] = solved.volts
    shown[:, ~joined] = np.nan
    return np.asarray(shown)


def _briefly(problem: Problem, start: Floats) -> State:
    """Solve what Newton's method finds from where the section stands without a meter."""
    return newton(problem, start, ROUNDS)


def _held_by(equations: System, values: Floats, nodes: Floats, paths: Floats) -> Floats:
    """Return the resistances between pairs, (items, pairs)."""
    size = equations.tree.potentials.shape[1]
    chunk = max(1, ENTRIES // (size * max(size, len(equations.port_paths)) + 1))
    found = np.empty((len(nodes), len(paths)))
    for first in range(0, len(nodes), chunk):
        rows = np.arange(first, min(first + chunk, len(nodes)))
        found[rows] = _resistances(equations, some(values, rows), nodes[rows], paths)
    return found


def _resistances(
    equations: System, values: Floats, nodes: Floats, paths: Floats
) -> Floats:
    """Return the resistances of some items, the section linearised where it stands."""
    count = len(nodes)
    nowhere = np.zeros((count, 2), np.intp)
    problem = problem_of(equations, nowhere, NO_METER, values)
    ports = equations.circuit.ports
    known = np.nan_to_num(nodes)
    across = known[:, ports[:, 0]] - known[:, ports[:, 1]]
    slopes = equations.law(values, across).slopes
    table = matrix(problem, equations.straight(problem.lines), slopes, np.zeros(count))
    found = np.empty((count, len(paths)))
    for place, path in enumerate(paths):
        raised = solve_scaled(table, np.broadcast_to(path, (count, len(path))))
        found[:, place] = np.abs(raised @ path)
    return found
