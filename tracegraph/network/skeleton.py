"""The straight part of a section, solved once for all its readings.

A spanning tree takes the best conductors first, and junction ports only where no
conductor leads (cut-set analysis, any textbook of network theory). The voltage of a
tree port stays an unknown; with the tree ports shorted the conductors make one
well-conditioned network, whose inverse gives every loop's voltage from the currents:

- a tree port's equation is a current: what its cut carries sums to zero;
- any other port's equation is a voltage: its loop sums to zero.

So the middle of back-to-back zeners, held by leaks of 1e-12 S only, comes out as
exact as a 1 mohm shunt beside it. The equations are inverted once with every port at
its slope at zero volts; a reading corrects for the ports that left that slope.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.device import law
from tracegraph.network.linear import islands
from tracegraph.network.system import Lines, lines
from tracegraph.network.tree import Tree, span

Truths = NDArray[np.bool_]


@dataclass(frozen=True)
class Skeleton:
    """A section's equations, `by_volts u + by_amps j - leads I - rest = 0`.

    Attributes:
        circuit: The section.
        tree: Its spanning tree.
        tied: Which ports are tree ports; their rows are currents, the rest voltages.
        by_volts: Rows of the equations for the ports' voltages, (ports, ports).
        by_amps: Rows of the equations for the ports' currents.
        rest: What the sources put in, one a row.
        idle: Slopes of the ports at zero volts, in siemens.
        undo: Inverse of the equations, all ports at their idle slope.
        impedance: Port voltages for currents between ports then, in ohms.
        leads: What an ampere into a node adds to the equations, (ports, nodes).
        reach: Port voltages for it, all ports at their idle slope, (ports, nodes).
        straight: Node voltages for it, tree ports shorted, (nodes, nodes).
        slack: What the ports at their idle slope add to these.
        levels: Node voltages that the sources make then.
        flaw: Worst Kirchhoff residual of the conductors for one ampere put in.
        source_flaw: The same for what the sources put in.
    """

    circuit: Circuit
    tree: Tree
    tied: Truths
    by_volts: Floats
    by_amps: Floats
    rest: Floats
    idle: Floats
    undo: Floats
    impedance: Floats
    leads: Floats
    reach: Floats
    straight: Floats
    slack: Floats
    levels: Floats
    flaw: float
    source_flaw: float


def skeleton(circuit: Circuit) -> Skeleton:
    """Return a section's equations at its typical values."""
    ports = circuit.ports
    idle = law(circuit, circuit.values, np.zeros(len(ports))).slopes[: len(ports)]
    straight, ends = lines(circuit), _straight_ends(circuit)
    tree, inner, tied = _tree(circuit, ends, straight, idle)
    paths, along = tree.paths(ports), tree.paths(ends)[:, inner]
    loops, cuts = paths[:, inner], paths[:, ~inner]
    stiff = along.T @ (straight.siemens[:, None] * along)
    inside = _inverse(stiff)
    pushed = along.T @ (straight.siemens * straight.emf)
    sources = inside @ pushed
    near = inside @ tree.potentials[:, inner].T
    crossed = loops @ inside @ loops.T
    undo, impedance = _inverted(crossed, cuts, tied, idle)
    own = np.eye(len(ports))
    spread = cuts @ own[tied]
    leads = loops @ near
    leads[tied] = tree.potentials[:, ~inner].T
    reach = undo @ leads
    drawn = np.where(tied[:, None], reach, -idle[:, None] * reach)
    return Skeleton(
        circuit=circuit,
        tree=tree,
        tied=tied,
        by_volts=np.where(tied[:, None], 0.0, own - spread),
        by_amps=np.where(tied[:, None], spread.T, crossed),
        rest=np.where(tied, 0.0, loops @ sources),
        idle=idle,
        undo=undo,
        impedance=impedance,
        leads=leads,
        reach=reach,
        straight=tree.potentials[:, inner] @ near,
        slack=leads.T @ drawn,
        levels=tree.potentials[:, inner] @ sources,
        flaw=_worst(stiff @ inside - np.eye(len(stiff))),
        source_flaw=_worst(stiff @ sources - pushed),
    )


def _straight_ends(circuit: Circuit) -> Ints:
    return np.concatenate([circuit.ends["Conductor"], circuit.ends["Source"]])


def _worst(flaws: Floats) -> float:
    """Return the worst residual of any node; it is the difference of two cuts'."""
    return 2 * float(np.abs(flaws).max(initial=0.0))


def _tree(
    circuit: Circuit, ends: Ints, straight: Lines, idle: Floats
) -> tuple[Tree, Truths, Truths]:
    """Return the tree, which of its branches are conductors, which ports are in it.

    Branches that are ports come last, in the ports' order, and count as the port does.
    """
    ports, rank = circuit.ports, np.argsort(-idle, kind="stable")
    best_first = np.argsort(-straight.siemens, kind="stable")
    tree = span(circuit.size, np.concatenate([ends[best_first], ports[rank]]))
    island = np.array(islands(circuit.size, ends), np.intp)
    inner = island[tree.parent] == island[tree.child]
    chosen = sorted(_chosen(tree, ~inner, ports, rank))
    outer = [column for _, column, _ in chosen]
    columns = np.concatenate([np.flatnonzero(inner), np.array(outer, np.intp)])
    tied = np.zeros(len(ports), np.bool_)
    tied[[port for port, _, _ in chosen]] = True
    signs = np.ones(len(columns))
    signs[inner.sum() :] = [sign for _, _, sign in chosen]
    potentials = tree.potentials[:, columns] * signs
    parent, child = tree.parent[columns], tree.child[columns]
    return Tree(potentials, parent, child, tree.component), inner[columns], tied


def _chosen(
    tree: Tree, outer: Truths, ports: Ints, rank: Ints
) -> list[tuple[int, int, float]]:
    """Return port, column and sign of every tree branch that is a port."""
    waiting = {
        frozenset((int(tree.parent[column]), int(tree.child[column]))): int(column)
        for column in np.flatnonzero(outer)
    }
    found = []
    for port in rank.tolist():
        first, second = ports[port].tolist()
        column = waiting.pop(frozenset((first, second)), None)
        if column is not None:
            sign = 1.0 if first == tree.child[column] else -1.0
            found.append((port, column, sign))
    return found


def _inverse(table: Floats) -> Floats:
    """Return the inverse of a positive definite matrix, brought to scale first."""
    scale = 1 / np.sqrt(np.diagonal(table))
    return np.asarray(
        scale[:, None] * np.linalg.inv(scale[:, None] * table * scale) * scale
    )


def _inverted(
    crossed: Floats, cuts: Floats, tied: Truths, idle: Floats
) -> tuple[Floats, Floats]:
    """Return the inverse of the equations at idle slopes, and the ports' impedance.

    Loops are eliminated first, then the cuts, which are positive definite: no digits
    are lost between slopes of 1e-12 S and 1 S.
    """
    loose = ~tied
    own = np.eye(len(idle))
    slope, across = idle[loose], crossed[np.ix_(loose, loose)]
    damped = np.linalg.inv(np.eye(len(slope)) + across * slope)
    through = cuts[loose].T @ (slope[:, None] * damped)
    cut_inverse = _inverse(np.diag(idle[tied]) + through @ cuts[loose])
    lift = own[:, tied]
    lift[loose] = damped @ cuts[loose]
    push = own[tied]
    push[:, loose] = -through
    undo = lift @ cut_inverse @ push
    undo[np.ix_(loose, loose)] += damped
    impedance = lift @ cut_inverse @ lift.T
    impedance[np.ix_(loose, loose)] += damped @ across
    return undo, impedance
