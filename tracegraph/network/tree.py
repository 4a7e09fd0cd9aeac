"""A section along a spanning tree: the unknowns are the voltages of tree branches.

Cut-set analysis (any textbook of network theory). With node voltages as unknowns,
10 Mohm or a leak of 1e-12 S beside a 1 mohm shunt drowns in rounding: the shunt's
1 uV is the difference of two volts. Here it is an unknown of its own, and where the
tree takes the best conductors first, every non-tree branch is a worse conductor than
all the branches on its path, so that the scaled equations stay well conditioned.
"""

from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Floats, Ints


class Tree(NamedTuple):
    """A spanning tree of every connected component.

    Attributes:
        potentials: Node voltages over the root of their component are
            `potentials @ unknowns`, (nodes, unknowns), entries 0 and 1.
        parent: Node at the root's side of every tree branch.
        child: Node at the other side.
        component: Lowest node of every node's component, its root.
    """

    potentials: Floats
    parent: Ints
    child: Ints
    component: Ints

    @property
    def roots(self) -> Ints:
        """The nodes that all others of their component are measured against."""
        return np.unique(self.component)

    def paths(self, ends: Ints) -> Floats:
        """Return the voltages from first to second nodes in terms of the unknowns."""
        return self.potentials[ends[..., 0]] - self.potentials[ends[..., 1]]

    def unknowns(self, nodes: Floats) -> Floats:
        """Return the tree branch voltages of node voltages, (..., nodes)."""
        return nodes[..., self.child] - nodes[..., self.parent]

    def joined(self, ends: Ints) -> "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]":
        """Return whether any path leads from first to second nodes."""
        joined: np.ndarray[tuple[int, ...], np.dtype[np.bool_]] = (
            self.component[ends[..., 0]] == self.component[ends[..., 1]]
        )
        return joined


def span(size: int, ends: Ints) -> Tree:
    """Return the spanning tree that takes branches in the order given (Kruskal).

    >>> span(4, np.array([[0, 1], [1, 0], [2, 1]])).component
    array([0, 0, 0, 3])
    """
    neighbours = _neighbours(size, ends)
    potentials = np.zeros((size, size))
    component = np.full(size, -1, np.intp)
    parent: list[int] = []
    child: list[int] = []
    for root in range(size):
        if component[root] >= 0:
            continue
        component[root] = root
        waiting = [root]
        while waiting:
            here = waiting.pop()
            for there in neighbours[here]:
                if component[there] < 0:
                    component[there] = root
                    potentials[there] = potentials[here]
                    potentials[there, len(child)] = 1.0
                    parent.append(here)
                    child.append(there)
                    waiting.append(there)
    return Tree(
        potentials[:, : len(child)],
        np.array(parent, np.intp),
        np.array(child, np.intp),
        component,
    )


def _neighbours(size: int, ends: Ints) -> list[list[int]]:
    """Return the tree's neighbours of every node (disjoint sets)."""
    above = list(range(size))
    neighbours: list[list[int]] = [[] for _ in range(size)]
    for a, b in ends.tolist():
        low, high = sorted((_top(above, a), _top(above, b)))
        if low != high:
            above[high] = low
            neighbours[a].append(b)
            neighbours[b].append(a)
    return neighbours


def _top(above: list[int], node: int) -> int:
    while above[node] != node:
        above[node] = above[above[node]]
        node = above[node]
    return node
