"""Other ways to a reading that Newton's method did not find at once."""

import numpy as np

from tracegraph.network.batch import Batch, Found, probes
from tracegraph.network.circuit import Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.portwise import begin, newton, start

RAMP = (1e-4, 1e-3, 1e-2, 0.05, 0.2, 0.4, 0.6, 0.8, 1.0)


def onward(under: Batch, pairs: Ints, reached: Found) -> Found:
    """Go on from where they stand."""
    state = begin(reached.ports, reached.across)
    return newton(under, probes(under.skeleton, pairs), state)


def afresh(under: Batch, pairs: Ints, _: Found) -> Found:
    """Forget where they stand."""
    stand = probes(under.skeleton, pairs)
    return newton(under, stand, start(under, stand))


def anew(under: Batch, pairs: Ints, reached: Found) -> Found:
    """Begin with nothing at all: another way, and most often a better one."""
    state = begin(np.zeros_like(reached.ports), np.zeros_like(reached.across))
    return newton(under, probes(under.skeleton, pairs), state)


def ramped(under: Batch, pairs: Ints, _: Found) -> Found:
    """Turn meter and sources up from nothing."""
    stand = probes(under.skeleton, pairs)
    first = under.turned_down(RAMP[0])
    found = newton(first, stand, start(first, stand))
    for share in RAMP[1:]:
        state = begin(found.ports, found.across)
        found = newton(under.turned_down(share), stand, state)
    return found


def densely(under: Batch, pairs: Ints, _: Found) -> Found:
    """Solve for all nodes, with every detour that this knows."""
    solution, _nodes = solve_items(under.skeleton.circuit, pairs, under.drive)
    return Found(
        solution.volts, solution.ports.T, solution.residual, solution.converged
    )
