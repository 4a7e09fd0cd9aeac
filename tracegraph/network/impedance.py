"""Small alternating currents: what flows between two points at one frequency.

Junctions count with their slope at rest, capacitors with their series resistance; a
coil and the winding resistance beside it, of the same part, are one path in series.
"""

from dataclasses import dataclass
from functools import cached_property
from math import pi

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import ENTRIES
from tracegraph.network.newton import some
from tracegraph.network.system import LEAST_OHMS, System, lines
from tracegraph.network.tree import span

Complex = NDArray[np.complex128]


def admittances(
    circuit: Circuit,
    pairs: Ints,
    hertz: float,
    values: Floats | None = None,
    bias: Floats | None = None,
) -> Complex:
    """Return the admittance between red and black at a frequency, in siemens.

    Args:
        circuit: The section.
        pairs: Nodes of red and black, (items, 2).
        hertz: The frequency, above zero.
        values: Parameters, one vector or one an item; else the typical.
        bias: Node voltages at which junctions are taken, (nodes,) or one row an item;
            else zero.

    Returns:
        Real part in phase with the voltage, imaginary part leading it; zero where
        nothing at all leads from one to the other, infinite within one node.
    """
    values = circuit.values if values is None else values
    bias = np.zeros(circuit.size) if bias is None else bias
    waves = _Waves(circuit, 2 * pi * hertz)
    equations = waves.system(values)
    probes = equations.tree.paths(pairs)
    size = probes.shape[1]
    chunk = max(1, ENTRIES // (size * max(size, len(equations.port_paths)) + 1))
    if values.ndim == 1 and bias.ndim == 1:
        inverse = _inverse(waves, equations, values[None], bias[None])[0]
        impedance = np.einsum("ni,ij,nj->n", probes, inverse, probes)
    else:
        starts = range(0, len(pairs), chunk)
        slices = [np.arange(k, min(k + chunk, len(pairs))) for k in starts]
        parts = [_each(waves, equations, values, bias, probes, rows) for rows in slices]
        impedance = np.concatenate([np.zeros(0, complex), *parts])
    return _turned(impedance, equations.tree.joined(pairs), pairs)


def _turned(impedance: Complex, joined: NDArray[np.bool_], pairs: Ints) -> Complex:
    """Return admittances: none where nothing leads, endless within one node."""
    ordinary = joined & (pairs[:, 0] != pairs[:, 1])
    found = np.where(joined, np.inf, 0.0).astype(complex)
    found[ordinary] = 1 / impedance[ordinary]
    return found


def _each(
    waves: "_Waves",
    equations: System,
    values: Floats,
    bias: Floats,
    probes: Floats,
    rows: Ints,
) -> Complex:
    """Return impedances of items that differ in their values or their bias."""
    own = np.broadcast_to(some(values, rows), (len(rows), values.shape[-1]))
    inverse = _inverse(waves, equations, own, some(bias, rows))
    return np.asarray(np.einsum("ni,nij,nj->n", probes[rows], inverse, probes[rows]))


def _inverse(
    waves: "_Waves", equations: System, values: Floats, bias: Floats
) -> Complex:
    """Return the inverse matrices, rows and columns brought to scale first."""
    siemens = waves.siemens(values)
    ports = equations.circuit.ports
    volts = np.broadcast_to(
        bias[..., ports[:, 0]] - bias[..., ports[:, 1]], (len(values), len(ports))
    )
    paths = equations.line_paths
    bent = equations.bent(equations.law(values, volts).slopes)
    table = paths.T @ (siemens[..., None] * paths) + bent
    size = np.abs(siemens) @ paths**2 + np.abs(np.diagonal(bent, axis1=1, axis2=2))
    scale = 1 / np.sqrt(size)
    scaled = scale[:, :, None] * table * scale[:, None, :]
    return np.asarray(scale[:, :, None] * np.linalg.inv(scaled) * scale[:, None, :])


@dataclass(frozen=True)
class _Waves:
    """The straight branches of a section at a frequency, in radians a second."""

    circuit: Circuit
    omega: float

    def system(self, values: Floats) -> System:
        """Return the equations, along a tree of the best conductors."""
        circuit = self.circuit
        names = ("Conductor", "Source", "Store", "Coil")
        ends = np.concatenate([circuit.ends[name] for name in names])
        best = np.abs(self.siemens(np.atleast_2d(values))).max(axis=0)
        order = np.argsort(-best, kind="stable")
        branches = np.concatenate([ends[order], circuit.ports])
        return System(circuit, span(circuit.size, branches), ends)

    def siemens(self, values: Floats) -> Complex:
        """Return the admittances, (items, branches); a coil takes its winding's place."""
        circuit, omega = self.circuit, self.omega
        straight = lines(circuit, values).siemens.astype(complex)
        farads = 1j * omega * circuit.column("Store.farads", values)
        stores = farads / (1 + farads * circuit.fixed["Store.series_ohms"])
        reactance = 1j * omega * circuit.column("Coil.henries", values)
        coils = 1 / (reactance + LEAST_OHMS)
        coil, winding = self._windings
        straight[:, winding] = 1 / (1 / straight[:, winding] + reactance[:, coil])
        coils[:, coil] = 0.0
        return np.concatenate([straight, stores, coils], axis=1)

    @cached_property
    def _windings(self) -> tuple[Ints, Ints]:
        """Coils that have their winding resistance beside them, and those conductors."""
        circuit = self.circuit
        conductors = {
            (circuit.placed[row].owner, frozenset(ends)): row
            for row, ends in enumerate(circuit.ends["Conductor"].tolist())
        }
        first = len(circuit.placed) - circuit.counts["Coil"] - circuit.counts["Bypass"]
        beside = [
            (row, conductors.get((circuit.placed[first + row].owner, frozenset(ends))))
            for row, ends in enumerate(circuit.ends["Coil"].tolist())
        ]
        found = [pair for pair in beside if pair[1] is not None]
        table = np.array(found, np.intp).reshape(-1, 2)
        return table[:, 0], table[:, 1]
