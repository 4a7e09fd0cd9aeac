"""All readings of one section as one batch."""

import numpy as np

from tracegraph.network.batch import Batch, Found, Probes, batch, probes, together
from tracegraph.network.circuit import Circuit, Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.portwise import begin, newton, start
from tracegraph.network.skeleton import Skeleton, Truths, skeleton

CHUNK = 100_000  # port voltages at a time: what fits a processor's cache
BRIEFLY = 10  # rounds, within which all but a few readings in a hundred are found
RAMP = (1e-4, 1e-3, 1e-2, 0.05, 0.2, 0.4, 0.6, 0.8, 1.0)


def solve_pairs(circuit: Circuit, pairs: Ints, drive: Drive) -> Solution:
    """Return what the meter finds between pairs of nodes, at typical values.

    Args:
        circuit: The section.
        pairs: Nodes under red and black, (readings, 2).
        drive: The meter.

    Returns:
        A row a pair. Where no path leads from red to black, `open` is True and the
        meter shows its open-circuit voltage; where nothing converged, volts and amps
        are NaN, never the last guess.
    """
    return solve_prepared(skeleton(circuit), np.asarray(pairs, np.intp), drive)


def solve_prepared(prepared: Skeleton, pairs: Ints, drive: Drive) -> Solution:
    """Return the same as `solve_pairs`, the section being prepared already."""
    joined = prepared.tree.joined(pairs)
    ways, row = _ways(pairs, joined)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        found = _solve(batch(prepared, drive), ways)
    across, residual = found.across[row], found.residual[row]
    converged, ports = found.converged[row], found.ports.T[row]
    blank = np.where(converged, 0.0, np.nan)
    volts = np.where(joined, across, drive.volts) + blank
    with np.errstate(over="ignore", invalid="ignore"):
        amps = np.where(joined, drive.current(volts)[0], blank)
    ports += blank[:, None]
    return Solution(volts, amps, ports, residual, ~joined, converged)


def _ways(pairs: Ints, joined: Truths) -> tuple[Ints, Ints]:
    """Return the pairs to solve, and for every pair which of them is its own.

    Where nothing leads from red to black the meter drives nothing: one solve, the
    probes on one net, is all of these.
    """
    apart = np.flatnonzero(~joined)
    row = np.cumsum(joined) - 1
    row[apart] = joined.sum()
    nowhere = np.repeat(pairs[apart[:1], :1], 2, axis=1)
    return np.concatenate([pairs[joined], nowhere]), row


def _solve(under: Batch, pairs: Ints) -> Found:
    """Solve readings, the stubborn ones by detours."""
    found = _in_chunks(under, pairs)
    for detour in (_onward, _anew, _ramped):
        left = np.flatnonzero(~found.converged)
        if left.size:
            reached = found.take(left)
            stand = probes(under.skeleton, pairs[left])
            _put(found, left, detour(under, stand, reached))
    left = np.flatnonzero(~found.converged)
    if left.size:
        _put(found, left, _densely(under, pairs[left]))
    return found


def _in_chunks(under: Batch, pairs: Ints) -> Found:
    """Solve as many readings at a time as the processor's cache holds."""
    size = max(1, CHUNK // (len(under.knees.high) + 1))
    found = []
    for first in range(0, max(len(pairs), 1), size):
        stand = probes(under.skeleton, pairs[first : first + size])
        found.append(newton(under, stand, start(under, stand), BRIEFLY))
    return together(found)


def _onward(under: Batch, stand: Probes, reached: Found) -> Found:
    """Go on with what is left of all chunks."""
    return newton(under, stand, begin(reached.ports, reached.across))


def _anew(under: Batch, stand: Probes, reached: Found) -> Found:
    """Begin with nothing at all: another way, and most often a better one."""
    ports, across = np.zeros_like(reached.ports), np.zeros_like(reached.across)
    return newton(under, stand, begin(ports, across))


def _put(found: Found, readings: Ints, better: Found) -> None:
    """Write results of some readings into those of all."""
    for whole, part in zip(found, better, strict=True):
        whole[..., readings] = part


def _ramped(under: Batch, stand: Probes, _: Found) -> Found:
    """Turn meter and sources up from nothing."""
    first = under.turned_down(RAMP[0])
    found = newton(first, stand, start(first, stand))
    for share in RAMP[1:]:
        state = begin(found.ports, found.across)
        found = newton(under.turned_down(share), stand, state)
    return found


def _densely(under: Batch, pairs: Ints) -> Found:
    """Solve with all nodes and every detour."""
    solution, _ = solve_items(under.skeleton.circuit, pairs, under.drive)
    return Found(
        solution.volts, solution.ports.T, solution.residual, solution.converged
    )
