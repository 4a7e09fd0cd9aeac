"""Resistances between all pairs of nets, and which nets are joined at all."""

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.system import LEAST_OHMS, MOST_OHMS


def resistances(circuit: Circuit) -> Floats:
    """Return the resistance between every two nodes, in ohms, junctions left out.

    From the inverse Z of the conductances, R_ab = Z_aa + Z_bb - 2 Z_ab (any textbook
    of network theory); infinite where no conductor leads from one to the other.
    """
    ends, ohms = circuit.ends["Conductor"], circuit.column("Conductor.ohms")
    siemens = 1 / np.clip(ohms, LEAST_OHMS, MOST_OHMS)
    island = islands(circuit.size, ends)
    inverse = np.linalg.inv(pinned(laplacian(circuit.size, ends, siemens), island))
    own = inverse.diagonal()
    across = own[:, None] + own
    across -= inverse
    across -= inverse.T
    if len(set(island)) > 1:
        names = np.array(island)
        np.copyto(across, np.inf, where=names[:, None] != names)
    return np.asarray(across)


def laplacian(size: int, ends: Ints, siemens: Floats) -> Floats:
    """Return the conductance matrix of branches between nodes, (size, size)."""
    a, b = ends.T
    cells = np.concatenate([a * size + b, b * size + a])
    weights = np.concatenate([siemens, siemens])
    table = -np.bincount(cells, weights, size * size).reshape(size, size)
    table.flat[:: size + 1] -= table.sum(axis=1)
    return np.asarray(table)


def islands(size: int, ends: Ints) -> list[int]:
    """Return the island of every node, named by its lowest node (disjoint sets).

    >>> islands(4, np.array([[1, 2], [3, 1]]))
    [0, 1, 1, 1]
    """
    above = list(range(size))
    for one, other in ends.tolist():
        a, b = _top(above, one), _top(above, other)
        above[max(a, b)] = min(a, b)
    for node, up in enumerate(above):  # no node stands above a lower one
        above[node] = above[up]
    return above


def _top(above: list[int], node: int) -> int:
    while above[node] != node:
        above[node] = node = above[above[node]]
    return node


def pinned(table: Floats, island: list[int]) -> Floats:
    """Return conductances with one node of every island tied to a common reference.

    The tie is as strong as the node's own conductances, so that the inverse is well
    scaled; it moves all of the island's potentials alike, no difference of two.
    """
    pins = [node for node, name in enumerate(island) if node == name]
    own = table[pins, pins]
    table[pins, pins] = np.where(own > 0, 2 * own, 1.0)
    return table
