"""Whether a live section stays where it was found, and how stiffly each net is held.

A steady solution may be one that no section keeps: the middle of a latch, or the
threshold that an oscillator passes through. The equations are linearised there with the
section's own capacitors, and some picofarads of track on every net; it lasts where every
small disturbance dies away (Lyapunov's first method, any text of control theory).
"""

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import NO_METER, problem_of
from tracegraph.network.newton import matrix, solve_scaled
from tracegraph.network.system import System, lines, system

TRACK_FARADS = 10e-12  # of a net and what hangs on it; common practice, no source
FASTEST = 1e-9  # of the fastest rate: below it a sign is rounding
GROWS = 1.0  # a second: slower growth is no matter


def lasting(
    circuit: Circuit, nodes: Floats
) -> "np.ndarray[tuple[int], np.dtype[np.bool_]]":
    """Return which solutions a small disturbance does not throw over.

    Args:
        circuit: The section in a powered state.
        nodes: Node voltages of solutions, (items, nodes).
    """
    equations = system(circuit, circuit.values)
    tables = _tables(equations, nodes)
    tree = equations.tree
    stores = tree.paths(circuit.ends["Store"])
    farads = circuit.column("Store.farads")
    held = stores.T @ (farads[:, None] * stores)
    held += TRACK_FARADS * tree.potentials.T @ tree.potentials
    rates = np.linalg.eigvals(np.linalg.solve(held, -tables)).real
    if not rates.shape[1]:
        return np.ones(len(nodes), np.bool_)
    bound = np.maximum(GROWS, FASTEST * np.abs(rates).max(axis=1))
    return np.asarray(rates.max(axis=1) <= bound)


def held_by(circuit: Circuit, nodes: Floats, pairs: Ints) -> Floats:
    """Return the resistance that each pair shows to a small current, in ohms.

    Args:
        circuit: The section in a powered state.
        nodes: Node voltages of its solution, (nodes,).
        pairs: Nodes, (pairs, 2); infinite where no path leads from one to the other.
    """
    equations = system(circuit, circuit.values)
    table = _tables(equations, nodes[None, :])
    joined = equations.tree.joined(pairs)
    paths = equations.tree.paths(pairs) * joined[:, None]
    many = np.broadcast_to(table, (len(pairs), *table.shape[1:]))
    ohms = np.einsum("ij,ij->i", paths, solve_scaled(many, paths))
    return np.where(joined, np.abs(ohms), np.inf)


def _tables(equations: System, nodes: Floats) -> Floats:
    """Return the derivatives of the currents by the unknowns, one an item."""
    circuit, count = equations.circuit, len(nodes)
    problem = problem_of(
        equations, np.zeros((count, 2), np.intp), NO_METER, circuit.values
    )
    ports = circuit.ports
    across = nodes[:, ports[:, 0]] - nodes[:, ports[:, 1]]
    slopes = equations.law(circuit.values, across).slopes
    straight = equations.straight(lines(circuit))
    return matrix(problem, straight, slopes, np.zeros(count))
