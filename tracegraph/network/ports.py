"""All readings of one section as one batch."""

import numpy as np

from tracegraph.network.batch import Batch, Found, Probes, batch, probes, together
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.portwise import newton, start
from tracegraph.network.retries import afresh, anew, densely, onward, ramped, shortly
from tracegraph.network.skeleton import Skeleton, Truths, skeleton

CHUNK = 100_000  # port voltages at a time: what fits a processor's cache
BRIEFLY = 10  # rounds, within which all but a few readings in a hundred are found
FAR = (onward, anew, ramped, densely)
NEAR = (onward, afresh, anew, ramped, densely)
FEW = (shortly, densely)  # for variants: what floats on a lifted pin needs all nodes


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


def solve_prepared(
    prepared: Skeleton,
    pairs: Ints,
    drive: Drive,
    near: Solution | None = None,
    values: Floats | None = None,
) -> Solution:
    """Return the same as `solve_pairs`, the section being prepared already.

    Args:
        prepared: The section.
        pairs: Nodes under red and black, (readings, 2).
        drive: The meter.
        near: The same readings of a section that is much the same, to begin from.
        values: Parameters, one vector a reading, (readings, parameters), where the
            ports differ from reading to reading; conductors stay as prepared.
    """
    joined = prepared.tree.joined(pairs)
    ways, row, rows = _ways(pairs, joined)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        known = _known(near, joined) if near else None
        own = None if values is None else values[rows]
        found = _solve(batch(prepared, drive), ways, known, own)
    across, residual = found.across[row], found.residual[row]
    converged, ports = found.converged[row], found.ports.T[row]
    blank = np.where(converged, 0.0, np.nan)
    volts = np.where(joined, across, drive.volts) + blank
    with np.errstate(over="ignore", invalid="ignore"):
        amps = np.where(joined, drive.current(volts)[0], blank)
    ports += blank[:, None]
    return Solution(volts, amps, ports, residual, ~joined, converged)


def _known(near: Solution, joined: Truths) -> Found:
    """Return readings to begin from, in the order of `_ways`."""
    ports, across = near.ports[joined], near.volts[joined]
    if not joined.all():
        ports = np.concatenate([ports, np.zeros_like(near.ports[:1])])
        across = np.append(across, 0.0)
    ports, across = np.nan_to_num(ports), np.nan_to_num(across)
    residual = np.full(len(across), np.inf)
    return Found(across, ports.T, residual, np.zeros(len(across), np.bool_))


def _ways(pairs: Ints, joined: Truths) -> tuple[Ints, Ints, Ints]:
    """Return the pairs to solve, for every pair which of them is its own, and of which.

    Where nothing leads from red to black the meter drives nothing: one solve, the
    probes on one net, is all of these.
    """
    apart = np.flatnonzero(~joined)
    row = np.cumsum(joined) - 1
    row[apart] = joined.sum()
    nowhere = np.repeat(pairs[apart[:1], :1], 2, axis=1)
    rows = np.concatenate([np.flatnonzero(joined), apart[:1]])
    return np.concatenate([pairs[joined], nowhere]), row, rows


def _solve(
    under: Batch, pairs: Ints, near: Found | None, values: Floats | None
) -> Found:
    """Solve readings, as many at a time as the processor's cache holds."""
    size = max(1, CHUNK // (len(under.knees.high) + 1))
    found = []
    for first in range(0, max(len(pairs), 1), size):
        part = slice(first, first + size)
        own = None if values is None else values[part]
        stand = probes(under.skeleton, pairs[part], own)
        begun = near and near.take(np.arange(len(pairs))[part])
        found.append(_some(under, stand, begun))
    return together(found)


def _some(under: Batch, stand: Probes, near: Found | None) -> Found:
    """Solve some readings, the stubborn ones by detours."""
    found = near or newton(under, stand, start(under, stand), BRIEFLY)
    detours = FEW if stand.values is not None else NEAR if near else FAR
    for detour in detours:
        left = np.flatnonzero(~found.converged)
        if left.size:
            better = detour(under, stand.take(left), found.take(left))
            for whole, part in zip(found, better, strict=True):
                whole[..., left] = part
    return found
