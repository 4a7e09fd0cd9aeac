"""Whether a live section stays where it was found, and how stiffly each net is held.

A steady solution may be one that no section keeps: the middle of a latch, or the
threshold that an oscillator passes through. The equations are linearised there with the
section's own capacitors, and some picofarads of track on every net; it lasts where every
small disturbance dies away (Lyapunov's first method, any text of control theory).
"""

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import NO_METER, powered, problem_of
from tracegraph.network.detours import fallen, settled
from tracegraph.network.newton import Problem, State, Truths, matrix, solve_scaled
from tracegraph.network.system import System, lines, system

TRACK_FARADS = 10e-12  # of a net and what hangs on it; common practice, no source
FASTEST = 1e-9  # of the fastest rate: below it a sign is rounding
PUSH = 0.2  # volts by which a section is pushed off what does not last
GROWS = 1.0  # a second: slower growth is no matter


def lasting(circuit: Circuit, nodes: Floats) -> Truths:
    """Return which solutions a small disturbance does not throw over.

    Args:
        circuit: The section in a powered state.
        nodes: Node voltages of solutions, (items, nodes).
    """
    equations = system(circuit, circuit.values)
    rates = np.linalg.eigvals(_rates(equations, nodes)).real
    if not rates.shape[1]:
        return np.ones(len(nodes), np.bool_)
    bound = np.maximum(GROWS, FASTEST * np.abs(rates).max(axis=1))
    return np.asarray(rates.max(axis=1) <= bound)


def thrown_over(circuit: Circuit, nodes: Floats) -> tuple[Floats, Floats, Truths]:
    """Return where a section falls to from a solution that does not last, either way.

    It is pushed off along the disturbance that grows most, and followed in steps short
    enough for that to grow: longer ones would lead back to where it was.

    Args:
        circuit: The section in a powered state.
        nodes: Node voltages of the solution, (nodes,).

    Returns:
        As `dense.powered`, two items.
    """
    equations = system(circuit, circuit.values)
    rates, ways = np.linalg.eig(_rates(equations, nodes[None, :], stores=False)[0])
    worst = int(np.argmax(rates.real))
    fall = equations.tree.potentials @ ways[:, worst].real
    fall *= PUSH / max(np.abs(fall).max(initial=0.0), np.finfo(float).tiny)
    hold = 2 * max(float(rates[worst].real), GROWS) * TRACK_FARADS

    def way(problem: Problem, start: Floats) -> State:
        return settled(problem, fallen(problem, start, hold))

    with np.errstate(over="ignore", invalid="ignore"):
        return powered(circuit, start=np.stack([nodes + fall, nodes - fall]), way=way)


def _rates(equations: System, nodes: Floats, *, stores: bool = True) -> Floats:
    """Return how disturbances of the unknowns grow, a second, one table an item."""
    circuit, tree = equations.circuit, equations.tree
    held = TRACK_FARADS * tree.potentials.T @ tree.potentials
    if stores:
        paths = tree.paths(circuit.ends["Store"])
        held += paths.T @ (circuit.column("Store.farads")[:, None] * paths)
    return np.asarray(np.linalg.solve(held, -_tables(equations, nodes)))


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
