"""Other ways to a reading that Newton's method did not find at once."""

import numpy as np

from tracegraph.network.batch import Batch, Found, Probes
from tracegraph.network.dense import solve_items
from tracegraph.network.portwise import begin, newton, start

SHORT = 14  # rounds
RAMP = (1e-4, 1e-3, 1e-2, 0.05, 0.2, 0.4, 0.6, 0.8, 1.0)


def onward(under: Batch, stand: Probes, reached: Found) -> Found:
    """Go on from where they stand."""
    return newton(under, stand, begin(reached.ports, reached.across))


def shortly(under: Batch, stand: Probes, reached: Found) -> Found:
    """Go on for a few rounds only."""
    return newton(under, stand, begin(reached.ports, reached.across), SHORT)


def afresh(under: Batch, stand: Probes, _: Found) -> Found:
    """Forget where they stand."""
    return newton(under, stand, start(under, stand))


def anew(under: Batch, stand: Probes, reached: Found) -> Found:
    """Begin with nothing at all: another way, and most often a better one."""
    state = begin(np.zeros_like(reached.ports), np.zeros_like(reached.across))
    return newton(under, stand, state)


def ramped(under: Batch, stand: Probes, _: Found) -> Found:
    """Turn meter and sources up from nothing."""
    first = under.turned_down(RAMP[0])
    found = newton(first, stand, start(first, stand))
    for share in RAMP[1:]:
        state = begin(found.ports, found.across)
        found = newton(under.turned_down(share), stand, state)
    return found


def densely(under: Batch, stand: Probes, _: Found) -> Found:
    """Solve for all nodes, with every detour that this knows."""
    circuit, pairs = under.skeleton.circuit, stand.pairs.T
    values = None if stand.values is None else stand.values.T
    solution, _nodes = solve_items(circuit, pairs, under.drive, values)
    return Found(
        solution.volts, solution.ports.T, solution.residual, solution.converged
    )
