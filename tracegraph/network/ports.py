"""All readings of one section as one batch."""

import numpy as np

from tracegraph.network.batch import Batch, Found, Probes, batch, probes
from tracegraph.network.circuit import Circuit, Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.portwise import begin, newton, start
from tracegraph.network.skeleton import Skeleton, skeleton

CHUNK = 100_000  # port voltages at a time: what fits a processor's cache
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
    under = batch(prepared, drive)
    size = max(1, CHUNK // (len(prepared.idle) + 1))
    bounds = range(0, len(pairs), size)
    found = [_solve(under, pairs[k : k + size]) for k in bounds]
    if not found:
        found = [_solve(under, pairs)]
    across, ports, residual, converged = (
        np.concatenate(part, axis=-1) for part in zip(*found, strict=True)
    )
    joined = prepared.tree.joined(pairs)
    volts = np.where(joined, across, drive.volts)
    with np.errstate(invalid="ignore"):
        amps = np.where(joined, drive.current(volts)[0], 0.0)
    blank = np.where(converged, 0.0, np.nan)
    return Solution(
        volts + blank, amps + blank, (ports + blank).T, residual, ~joined, converged
    )


def _solve(under: Batch, pairs: Ints) -> Found:
    """Solve readings, the stubborn ones by detours."""
    stand = probes(under.skeleton, pairs)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        found = newton(under, stand, start(under, stand))
        failed = np.flatnonzero(~found.converged)
        if failed.size:
            _put(found, failed, _ramped(under, stand.take(failed)))
            failed = np.flatnonzero(~found.converged)
        if failed.size:
            _put(found, failed, _densely(under, pairs[failed]))
    return found


def _put(found: Found, readings: Ints, better: Found) -> None:
    """Write results of some readings into those of all."""
    for whole, part in zip(found, better, strict=True):
        whole[..., readings] = part


def _ramped(under: Batch, stand: Probes) -> Found:
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
