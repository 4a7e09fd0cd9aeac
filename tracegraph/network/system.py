"""The equations of a section: what flows at given voltages, and how it changes."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.device import Law, Pattern, law, pattern
from tracegraph.network.tree import Tree, span

LEAST_OHMS = 1e-6  # no joint is better
LEAST_SOURCE_OHMS = 1e-3  # no supply with its leads is stiffer
MOST_OHMS = 1e15  # an endless resistance: nothing flows, but the net is determined
STORE_SECONDS = 1e-3  # the time at which capacitances are ranked among resistances


class Lines(NamedTuple):
    """Straight branches: current = siemens * (volts across - emf).

    Attributes:
        siemens: Conductances, (lines,) or (items, lines).
        emf: Source voltages, likewise.
    """

    siemens: Floats
    emf: Floats


@dataclass(frozen=True)
class System:
    """A circuit seen along a spanning tree.

    Attributes:
        circuit: The circuit.
        tree: Its spanning tree.
        ends: Nodes of the straight branches: conductors, sources, and stores if asked.
    """

    circuit: Circuit
    tree: Tree
    ends: Ints

    @cached_property
    def line_paths(self) -> Floats:
        """Voltages of the straight branches in terms of the unknowns."""
        return self.tree.paths(self.ends)

    @cached_property
    def port_paths(self) -> Floats:
        """Voltages of the ports in terms of the unknowns."""
        return self.tree.paths(self.circuit.ports)

    @cached_property
    def pattern(self) -> Pattern:
        """Places of the ports' slopes."""
        return pattern(self.circuit)

    @cached_property
    def line_nodes(self) -> Floats:
        """Current into nodes of the straight branches' currents, (lines, nodes)."""
        return _incidence(self.ends, self.circuit.size)

    @cached_property
    def port_nodes(self) -> Floats:
        """Current into nodes of the ports' currents, (ports, nodes)."""
        return _incidence(self.circuit.ports, self.circuit.size)

    def law(self, values: Floats, volts: Floats) -> Law:
        """Return currents and slopes of the ports."""
        return law(self.circuit, values, volts)

    def straight(self, lines: Lines) -> Floats:
        """Return the matrix of the straight branches, one or one an item."""
        paths = self.line_paths
        return np.asarray(paths.T @ (lines.siemens[..., None] * paths))

    def by_slopes(self, slopes: Floats, volts: Floats) -> Floats:
        """Return how far the ports' currents change for changes of their voltages."""
        own, places = volts.shape[-1], self.pattern
        amps = slopes[..., :own] * volts
        # every port has one slope by another port at most: no row comes twice
        rows, columns = places.rows[own:], places.columns[own:]
        amps[..., rows] += slopes[..., own:] * volts[..., columns]
        return np.asarray(amps)

    def bent(self, slopes: Floats) -> Floats:
        """Return the matrix of the ports for their slopes, (items, entries)."""
        paths, places = self.port_paths, self.pattern
        own = len(paths)
        weighted = slopes[:, :own, None] * paths
        rows, columns = places.rows[own:], places.columns[own:]
        weighted[:, rows] += slopes[:, own:, None] * paths[columns]
        return np.asarray(paths.T @ weighted)

    def imbalance(self, line_amps: Floats, port_amps: Floats) -> Floats:
        """Return the current that leaves every node through its branches."""
        return line_amps @ self.line_nodes + port_amps @ self.port_nodes


def system(
    circuit: Circuit, values: Floats | None = None, *, stores: bool = False
) -> System:
    """Return a circuit's equations.

    Args:
        circuit: The circuit.
        values: Value vectors to rank the branches by; the best of each counts.
        stores: Whether capacitances conduct.
    """
    ends = [circuit.ends["Conductor"], circuit.ends["Source"]]
    rank = _best(lines(circuit, values).siemens)
    if stores:
        ends.append(circuit.ends["Store"])
        farads = _best(circuit.column("Store.farads", values))
        rank = np.concatenate([rank, farads / STORE_SECONDS])
    straight = np.concatenate(ends)
    order = np.argsort(-rank, kind="stable")
    branches = np.concatenate([straight[order], _ports_by_rank(circuit)])
    return System(circuit, span(circuit.size, branches), straight)


def lines(circuit: Circuit, values: Floats | None = None) -> Lines:
    """Return conductors and sources as straight branches."""
    ohms = np.clip(circuit.column("Conductor.ohms", values), LEAST_OHMS, MOST_OHMS)
    inner = np.clip(circuit.column("Source.ohms", values), LEAST_SOURCE_OHMS, MOST_OHMS)
    emf = circuit.column("Source.volts", values)
    return Lines(
        np.concatenate([1 / ohms, 1 / inner], axis=-1),
        np.concatenate([np.zeros_like(ohms), emf], axis=-1),
    )


def _best(table: Floats) -> Floats:
    """Return the greatest of every column over all items."""
    return np.asarray(table.max(axis=tuple(range(table.ndim - 1))))


def _ports_by_rank(circuit: Circuit) -> Ints:
    """Return the ports, those that may conduct best first.

    Joints of pins, then drain-source channels.
    """
    junctions, transistors = circuit.counts["Junction"], circuit.counts["Transistor"]
    channels = circuit.counts["Channel"]
    first = junctions + 2 * transistors + channels
    ports = circuit.ports
    drain = np.arange(first, first + channels)
    start = len(ports) - circuit.counts["Bypass"]
    joints = start + np.flatnonzero(circuit.column("Bypass.siemens") > 0)
    best = np.concatenate([joints, drain])
    return np.concatenate([ports[best], np.delete(ports, best, axis=0)])


def _incidence(ends: Ints, size: int) -> Floats:
    table = np.zeros((len(ends), size))
    rows = np.arange(len(ends))
    np.add.at(table, (rows, ends[:, 0]), 1.0)
    np.add.at(table, (rows, ends[:, 1]), -1.0)
    return table
