"""Many readings of one section at once, seen from its ports.

Arrays here have the ports first and the readings last: what one class of devices
needs then lies together.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Floats, Ints
from tracegraph.network.curves import Knees, knees
from tracegraph.network.drive import Drive
from tracegraph.network.hot import Link, links
from tracegraph.network.skeleton import Skeleton, Truths

LIVE_AMPS = 1e-2  # current at the knees where no meter drives one
LEAST_AMPS = 1e-8
SLACK = 0.2  # volts beyond what all sources together could make


class Probes(NamedTuple):
    """Where the meter stands, seen from the ports, a reading a column.

    Attributes:
        leads: What one ampere of the meter's adds to the equations, (ports, readings).
        reach: Port voltages for one ampere, ports idle; a last row of zeros.
        straight: Resistance between the probes, tree ports shorted, (readings,).
        idle: Resistance between the probes, ports idle.
        rest: Voltage between the probes that sources make along conductors.
        pairs: Nodes under red and black, (2, readings).
        values: Values of the ports' parameters, (parameters, readings), where readings
            differ in them; conductors stay as the skeleton has them.
    """

    leads: Floats
    reach: Floats
    straight: Floats
    idle: Floats
    rest: Floats
    pairs: Ints
    values: Floats | None = None

    def take(self, readings: Ints) -> "Probes":
        """Return some of the readings."""
        values = None if self.values is None else self.values[:, readings]
        return Probes(
            self.leads[:, readings],
            self.reach[:, readings],
            self.straight[readings],
            self.idle[readings],
            self.rest[readings],
            self.pairs[:, readings],
            values,
        )


class State(NamedTuple):
    """Where readings stand.

    Attributes:
        ports: Port voltages, (ports, readings).
        across: Voltage across the probes.
        moved: Last change of the port voltages.
        bound: The most that they may change next.
        step: Its largest, in volts; infinite where it was limited.
    """

    ports: Floats
    across: Floats
    moved: Floats
    bound: Floats
    step: Floats

    def take(self, readings: Ints) -> "State":
        """Return some of the readings."""
        return State(*(np.take(table, readings, axis=-1) for table in self))


class Flow(NamedTuple):
    """Currents, and what is wrong with them.

    Attributes:
        slopes: Slopes of the ports' currents, one an entry of the pattern.
        delivered: Slope of what the meter delivers.
        missing: Error of every port's equation.
        across: Voltage across the probes that the currents make.
        residual: Bound of the worst Kirchhoff residual, in amperes.
    """

    slopes: Floats
    delivered: Floats
    missing: Floats
    across: Floats
    residual: Floats

    def take(self, readings: Ints) -> "Flow":
        """Return some of the readings."""
        return Flow(*(np.take(table, readings, axis=-1) for table in self))


class Found(NamedTuple):
    """What Newton's method came to.

    Attributes:
        across: Voltage across the probes.
        ports: Port voltages, (ports, readings).
        residual: Bound of the worst Kirchhoff residual, in amperes.
        converged: Where this is an answer.
    """

    across: Floats
    ports: Floats
    residual: Floats
    converged: Truths

    def take(self, readings: Ints) -> "Found":
        """Return some of the readings."""
        across, ports, residual, converged = self
        return Found(
            across[readings],
            ports[:, readings],
            residual[readings],
            converged[readings],
        )


def together(found: Sequence[Found]) -> Found:
    """Return the readings of several batches as those of one."""
    across, ports, residual, converged = zip(*found, strict=True)
    return Found(
        np.concatenate(across),
        np.concatenate(ports, axis=1),
        np.concatenate(residual),
        np.concatenate(converged),
    )


@dataclass(frozen=True)
class Batch:
    """A section under one drive, which may be turned down.

    Attributes:
        skeleton: The section.
        drive: The meter.
        links: Slopes of a port's current by another port's voltage.
        knees: Where the ports bend, (ports, 1).
        amps: Current at the knees.
        most: Volts that no port can exceed.
        impedance: The skeleton's, with a last row and column of zeros.
        share: How far the sources are turned up.
    """

    skeleton: Skeleton
    drive: Drive
    links: tuple[Link, ...]
    knees: Knees
    amps: float
    most: float
    impedance: Floats
    share: float = 1.0

    @property
    def limited(self) -> bool:
        """Whether the meter is a constant current with a voltage limit."""
        return self.drive.amps != 0.0 and not np.isfinite(self.drive.ohms)

    def turned_down(self, share: float) -> "Batch":
        """Return the same with the meter and all sources turned down."""
        amps, ohms, volts = self.drive
        drive = Drive(amps * share, ohms, volts * share)
        return replace(self, drive=drive, share=share)


def batch(skeleton: Skeleton, drive: Drive) -> Batch:
    """Return a section with the meter that will be set to it."""
    circuit, ports = skeleton.circuit, len(skeleton.idle)
    amps = float(np.clip(abs(drive.amps) or LIVE_AMPS, LEAST_AMPS, LIVE_AMPS))
    impedance = np.zeros((ports + 1, ports + 1))
    impedance[:ports, :ports] = skeleton.impedance
    sources = np.abs(circuit.column("Source.volts")).sum()
    return Batch(
        skeleton,
        drive,
        links(circuit),
        knees(circuit, amps),
        amps,
        float(abs(drive.volts) + sources + SLACK),
        impedance,
    )


def probes(skeleton: Skeleton, pairs: Ints, values: Floats | None = None) -> Probes:
    """Return how pairs of nodes are seen from the ports.

    Args:
        skeleton: The section.
        pairs: Nodes under red and black, (readings, 2).
        values: Parameters, one vector a reading, where the ports' are not all alike.
    """
    red, black = pairs.T
    reach = np.zeros((len(skeleton.idle) + 1, len(pairs)))
    ahead = reach[:-1]
    np.subtract(skeleton.reach[:, red], skeleton.reach[:, black], out=ahead)
    straight = _between(skeleton.straight, red, black)
    return Probes(
        skeleton.leads[:, red] - skeleton.leads[:, black],
        reach,
        straight,
        straight + _between(skeleton.slack, red, black),
        skeleton.levels[red] - skeleton.levels[black],
        pairs.T,
        None if values is None else values.T,
    )


def _between(ohms: Floats, red: Ints, black: Ints) -> Floats:
    """Return resistances between pairs from impedances at nodes."""
    there = ohms[red, red] - ohms[red, black]
    return there + (ohms[black, black] - ohms[black, red])
