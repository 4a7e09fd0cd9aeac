"""All readings of one section as one batch."""

import numpy as np

from tracegraph.network.batch import Batch, Found, Probes, batch, probes
from tracegraph.network.circuit import Circuit, Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.portwise import begin, newton, start
from tracegraph.network.skeleton import Skeleton, skeleton

CHUNK = 100_000  # port voltages at a time: what fits a processor's cache
BRIEFLY = 30  # rounds, within which all but a few readings in a thousand are found
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
    stand = probes(prepared, pairs)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        across, ports, residual, converged = _solve(under, stand, pairs)
        joined = prepared.tree.joined(pairs)
        volts = np.where(joined, across, drive.volts)
        amps = np.where(joined, drive.current(volts)[0], 0.0)
    blank = np.where(converged, 0.0, np.nan)
    return Solution(
        volts + blank, amps + blank, (ports + blank).T, residual, ~joined, converged
    )


def _solve(under: Batch, stand: Probes, pairs: Ints) -> Found:
    """Solve readings, the stubborn ones by detours."""
    found = _in_chunks(under, stand)
    detours = (_anew, _ramped)
    for detour in detours:
        failed = np.flatnonzero(~found.converged)
        if failed.size:
            _put(found, failed, detour(under, stand.take(failed)))
    failed = np.flatnonzero(~found.converged)
    if failed.size:
        _put(found, failed, _densely(under, pairs[failed]))
    return found


def _in_chunks(under: Batch, stand: Probes) -> Found:
    """Solve as many readings at a time as the processor's cache holds."""
    count, size = len(stand.idle), max(1, CHUNK // (len(under.knees.high) + 1))
    found = []
    for first in range(0, max(count, 1), size):
        some = stand.take(np.arange(first, min(first + size, count)))
        found.append(newton(under, some, start(under, some), BRIEFLY))
    return Found(*(np.concatenate(part, axis=-1) for part in zip(*found, strict=True)))


def _anew(under: Batch, stand: Probes) -> Found:
    """Begin with nothing at all: another way, and most often a better one."""
    ports = np.zeros((len(under.knees.high), len(stand.idle)))
    return newton(under, stand, begin(ports, np.zeros(len(stand.idle))))


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
