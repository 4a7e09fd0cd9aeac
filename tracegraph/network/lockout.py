"""Outputs that stay low while their supply is under their lockout."""

import numpy as np

from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.newton import Truths
from tracegraph.stage.branch import Follower

NEVER = 1e6  # volts of control: an output that is locked stays low


def starved(circuit: Circuit, nodes: Floats) -> Truths:
    """Return which followers have a supply under their lockout.

    Args:
        circuit: The section.
        nodes: Its node voltages, (..., nodes).
    """
    branches = (one.branch for one in circuit.placed)
    locks = [one.lockout for one in branches if isinstance(one, Follower)]
    least = [(lock.typical if lock else None) or -np.inf for lock in locks]
    ends = circuit.ends["Follower"]
    with np.errstate(invalid="ignore"):  # a board without levels is not starved
        return np.asarray(nodes[..., ends[:, 2]] - nodes[..., ends[:, 1]] < least)


def held_low(circuit: Circuit, table: Floats, rows: Truths) -> Floats:
    """Return parameters, (..., parameters), with some followers held low."""
    column, held = circuit.columns["Follower.threshold"], table.copy()
    held[..., column] = np.where(rows, NEVER, table[..., column])
    return held
