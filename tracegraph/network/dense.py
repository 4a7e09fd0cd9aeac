"""Any readings of any variants of a section: one dense Newton solve an item, batched.

The general way. Where all readings share one value vector, reducing the section to
its junctions first is many times faster; this one also takes a value vector an item,
and stands as the independent answer.

Accuracy: unknowns along a spanning tree (see `tree`) keep 1 mohm exact to 12 digits
beside 10 Mohm and leaks of 1e-12 S; an island held by such leaks only is good to
about 1e-7 V at 1 mA.
"""

from collections.abc import Callable

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.detours import solve
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.newton import Problem, State, Truths, some
from tracegraph.network.system import System, lines, system

ENTRIES = 2_000_000  # matrix entries at a time: 16 megabytes, a few times over
Way = Callable[[Problem, Floats], State]
NO_METER = Drive(0.0, np.inf, 0.0)


def solve_items(
    circuit: Circuit,
    pairs: Ints,
    drive: Drive,
    values: Floats | None = None,
    start: Floats | None = None,
    way: Way = solve,
) -> tuple[Solution, Floats]:
    """Return what the meter finds, one item a pair, and all node voltages.

    Args:
        circuit: The section.
        pairs: Nodes under red and black, (items, 2).
        drive: The meter.
        values: Parameters, one vector for all items or one each; else the typical.
        start: Node voltages to begin from, (items, nodes).
        way: How: `solve` tries everything, `newton` is brief.

    Returns:
        The readings; and node voltages, (items, nodes): over black in its own
        component, over the lowest node in every other one, NaN where not converged.
    """
    values = circuit.values if values is None else values
    equations = system(circuit, values)
    joined = equations.tree.joined(pairs)
    state = _in_chunks(equations, pairs, drive, values, start, way)
    paths = equations.tree.paths(pairs) * joined[:, None]
    volts = np.where(joined, np.einsum("ij,ij->i", paths, state.unknowns), drive.volts)
    with np.errstate(invalid="ignore"):
        amps = np.where(joined, drive.current(volts)[0], 0.0)
    good = state.converged
    blank = np.where(good, 0.0, np.nan)
    nodes = state.unknowns @ equations.tree.potentials.T + blank[:, None]
    solution = Solution(
        volts + blank,
        amps + blank,
        state.unknowns @ equations.port_paths.T + blank[:, None],
        state.residual,
        ~joined,
        good,
    )
    return solution, _grounded(equations, nodes, pairs, np.where(joined, 0.0, volts))


def powered(
    circuit: Circuit,
    values: Floats | None = None,
    start: Floats | None = None,
    ground: int = 0,
    way: Way = solve,
) -> tuple[Floats, Floats, Truths]:
    """Return the levels of a live section without a meter.

    Args:
        circuit: The section in a powered state.
        values: Parameters, one vector or one an item, (items, parameters).
        start: Node voltages to begin from, (items, nodes).
        ground: Node at zero volts; every component that it has no part in has its
            lowest node at zero.
        way: How: `solve` tries everything, `newton` is brief, `settled` moves slowly from
            where it begins to a state that lasts.

    Returns:
        Node voltages (items, nodes), NaN where not converged; the worst Kirchhoff
        residual of every item, below 1e-9 A where converged; where converged.
    """
    values = circuit.values if values is None else values
    items = max(len(np.atleast_2d(values)), 1 if start is None else len(start))
    pairs = np.full((items, 2), ground, np.intp)
    equations = system(circuit, values)
    state = _in_chunks(equations, pairs, NO_METER, values, start, way)
    blank = np.where(state.converged, 0.0, np.nan)[:, None]
    nodes = state.unknowns @ equations.tree.potentials.T + blank
    levels = _grounded(equations, nodes, pairs, np.zeros(items))
    return levels, state.residual, state.converged


def problem_of(equations: System, pairs: Ints, drive: Drive, values: Floats) -> Problem:
    """Return the equations of a batch of readings; no meter where it is open."""
    circuit, tree = equations.circuit, equations.tree
    joined = tree.joined(pairs)[:, None]
    leads = np.eye(circuit.size)[pairs[:, 0]] - np.eye(circuit.size)[pairs[:, 1]]
    return Problem(
        equations,
        lines(circuit, values),
        values,
        drive,
        tree.paths(pairs) * joined,
        leads * joined,
    )


def _in_chunks(
    equations: System,
    pairs: Ints,
    drive: Drive,
    values: Floats,
    start: Floats | None,
    way: Way = solve,
) -> State:
    """Solve a bounded number of items at a time."""
    tree = equations.tree
    unknowns = tree.potentials.shape[1]
    begin = np.zeros((len(pairs), unknowns)) if start is None else tree.unknowns(start)
    largest = max(unknowns, len(equations.port_paths), 1)
    chunk = max(1, ENTRIES // (unknowns * largest + 1))
    parts = [
        way(problem_of(equations, pairs[rows], drive, some(values, rows)), begin[rows])
        for rows in np.split(np.arange(len(pairs)), range(chunk, len(pairs), chunk))
    ]
    return State(*(np.concatenate(part) for part in zip(*parts, strict=True)))


def _grounded(equations: System, nodes: Floats, pairs: Ints, lift: Floats) -> Floats:
    """Return node voltages over black, red's own component lifted where it is open."""
    component = equations.tree.component
    red, black = pairs.T
    items = np.arange(len(pairs))
    with_black = component == component[black][:, None]
    with_red = (component == component[red][:, None]) & ~with_black
    down = nodes[items, black][:, None]
    across = (nodes[items, red] - lift)[:, None]
    return nodes - np.where(with_black, down, 0.0) - np.where(with_red, across, 0.0)
