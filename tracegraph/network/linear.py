"""Resistances between all pairs of nets, and which nets are joined at all."""

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.system import LEAST_OHMS, MOST_OHMS

SPLIT = 1e-9  # what is left of a conductor's path when there is no other


def resistances(circuit: Circuit) -> Floats:
    """Return the resistance between every two nodes, in ohms, junctions left out.

    From the inverse Z of the conductances, R_ab = Z_aa + Z_bb - 2 Z_ab (any textbook
    of network theory); infinite where no conductor leads from one to the other.
    """
    ends, ohms = circuit.ends["Conductor"], circuit.column("Conductor.ohms")
    siemens = 1 / np.clip(ohms, LEAST_OHMS, MOST_OHMS)
    island = np.array(islands(circuit.size, ends))
    inverse = np.linalg.inv(pinned(laplacian(circuit.size, ends, siemens), island))
    own = inverse.diagonal()
    across = own[:, None] + own
    across -= inverse
    across -= inverse.T  # not twice the same: what rounding left is shared out
    apart = island[:, None] != island
    np.copyto(across, np.inf, where=apart)
    return np.asarray(across)


def changed(ohms: Floats, ends: tuple[int, int], siemens: float) -> Floats:
    """Return all resistances after one conductance was added, or taken away.

    Sherman and Morrison's formula in resistances: R'_ab = R_ab - g (R_ad + R_bc - R_ac
    - R_bd)^2 / (4 (1 + g R_cd)). Where the conductor taken away was the only way,
    its two sides come apart; where it is the first between two islands, they join.
    What is taken away leaves 1 + g R_cd, and as many digits are lost as that is small.

    Args:
        ohms: Resistances before, from `resistances`.
        ends: The conductor's nodes c, d.
        siemens: What it conducts more than before; less is negative.
    """
    c, d = ends
    if c == d or siemens == 0.0:
        return ohms.copy()
    if np.isinf(ohms[c, d]):
        return _joined(ohms, c, d, siemens)
    left = 1 + siemens * ohms[c, d]
    # R_ad + R_bc - R_ac - R_bd, an island's nets among themselves only
    side = ohms[:, d] - ohms[:, c] if np.isfinite(ohms).all() else _sides(ohms, c, d)
    swing = side[:, None] - side
    if left > SPLIT:
        return np.asarray(ohms - siemens * swing**2 / (4 * left))
    apart = np.abs(swing) > ohms[c, d]
    return np.asarray(np.where(apart, np.inf, ohms))


def _sides(ohms: Floats, c: int, d: int) -> Floats:
    """Return how much farther every node is from d than from c; 0 where not joined."""
    own = np.isfinite(ohms[:, c])
    return np.where(own, ohms[:, d], 0.0) - np.where(own, ohms[:, c], 0.0)


def _joined(ohms: Floats, c: int, d: int, siemens: float) -> Floats:
    """Return resistances after a conductor between two islands; only it leads across."""
    over = ohms[:, [c]] + 1 / siemens + ohms[d]
    return np.asarray(np.minimum(ohms, np.minimum(over, over.T)))


def laplacian(size: int, ends: Ints, siemens: Floats) -> Floats:
    """Return the conductance matrix of branches between nodes, (size, size)."""
    a, b = ends.T
    rows, columns = a * size, b * size
    cells = np.concatenate([rows + b, columns + a, rows + a, columns + b])
    weights = np.concatenate([-siemens, -siemens, siemens, siemens])
    table = np.bincount(cells, weights, size * size)
    return np.asarray(table, np.float64).reshape(size, size)


def islands(size: int, ends: Ints) -> list[int]:
    """Return the island of every node, named by its lowest node (disjoint sets).

    >>> islands(4, np.array([[1, 2], [3, 1]]))
    [0, 1, 1, 1]
    """
    above = list(range(size))
    for one, other in ends.tolist():
        a, b = one, other
        while above[a] != a:
            above[a] = a = above[above[a]]
        while above[b] != b:
            above[b] = b = above[above[b]]
        if a < b:
            above[b] = a
        else:
            above[a] = b
    for node, up in enumerate(above):  # no node stands above a lower one
        above[node] = above[up]
    return above


def pinned(table: Floats, island: Ints) -> Floats:
    """Return conductances with one node of every island tied to a common reference.

    The tie is as strong as the node's own conductances, and they are the island's
    strongest: low resistances near it keep their digits. It moves all of the island's
    potentials alike, no difference of two.
    """
    own = table.diagonal()
    rising = own.argsort()
    strongest = np.empty_like(rising)
    strongest[island[rising]] = rising  # of an island's nodes the last one stays
    pins = strongest[island == np.arange(len(island))]
    table[pins, pins] = np.where(own[pins] > 0, 2 * own[pins], 1.0)
    return table
