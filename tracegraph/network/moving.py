"""A section in time: what its equations are made of, and what it remembers."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.curve import Curve
from tracegraph.network.limits import Knees, port_knees
from tracegraph.network.one import Law, laws_of
from tracegraph.network.system import System, lines, system
from tracegraph.stage.branch import Coil, Conductor

BENT = 0.1  # e-folds past which a port's step may need a limit
LEAST_OHMS = 1e-9  # of a coil's winding


class Stored(NamedTuple):
    """What a section remembers.

    Attributes:
        charge: Of every capacitance, coulombs.
        amps: Of every coil.
    """

    charge: Floats
    amps: Floats


class Rate(NamedTuple):
    """How fast that changes: amperes into the capacitances, amperes a second."""

    charge: Floats
    amps: Floats


@dataclass(frozen=True)
class Moving:
    """A section in time.

    Attributes:
        system: Its equations; capacitances are among the straight branches.
        values: Its parameters.
    """

    system: System
    values: Floats

    @property
    def circuit(self) -> Circuit:
        """The compiled section."""
        return self.system.circuit

    @cached_property
    def laws(self) -> tuple[Law, ...]:
        """What its devices do."""
        return laws_of(self.circuit, self.values)

    @cached_property
    def knees(self) -> Knees:
        """Where its ports bend."""
        return port_knees(self.circuit, self.values, 0.0)

    @cached_property
    def nearest(self) -> float:
        """Volts of a step that needs no limit at any port."""
        folds = np.concatenate([self.knees.fold, self.knees.low_fold])
        return BENT * float(folds.min(initial=1.0))

    @cached_property
    def entries(self) -> Ints:
        """Places of the ports' slopes in a square table, counted along its rows."""
        places = self.system.pattern
        return np.asarray(places.rows * len(self.circuit.ports) + places.columns)

    @cached_property
    def varying(self) -> Ints:
        """Which capacitances depend on their voltage."""
        fixed = self.circuit.fixed
        farads = self.circuit.column("Store.farads", self.values)
        return np.flatnonzero(fixed["Store.full_farads"] > farads * (1 + 1e-6))

    @cached_property
    def plain(self) -> Ints:
        """The capacitances that do not."""
        return np.setdiff1d(np.arange(self.circuit.counts["Store"]), self.varying)

    @cached_property
    def farads(self) -> Floats:
        """Capacitances, one that varies at its stated voltage."""
        return self.circuit.column("Store.farads", self.values)

    @cached_property
    def series_ohms(self) -> Floats:
        """Series resistances of the capacitances that do not vary."""
        return self.circuit.fixed["Store.series_ohms"][self.plain]

    @cached_property
    def curve(self) -> Curve:
        """The law of the capacitances that vary."""
        full = self.circuit.fixed["Store.full_farads"][self.varying]
        at = self.circuit.fixed["Store.at_volts"][self.varying]
        bend = np.abs(at) / ((full / self.farads[self.varying]) ** 2 - 1)
        return Curve(full, bend, np.sign(at))

    @cached_property
    def henries(self) -> Floats:
        """Inductances."""
        return self.circuit.column("Coil.henries", self.values)

    @cached_property
    def windings(self) -> Ints:
        """The conductor that is a coil's wire, one a coil; -1 where it has none."""
        conductors, coils = (self.circuit.of(kind) for kind in (Conductor, Coil))
        wires = {(one.owner, *one.nets): k for k, one in enumerate(conductors)}
        found = [wires.get((one.owner, *one.nets), -1) for one in coils]
        return np.array(found, np.intp)

    @cached_property
    def coil_ohms(self) -> Floats:
        """Resistance of every coil's wire."""
        siemens = lines(self.circuit, self.values).siemens[self.windings]
        return np.where(self.windings < 0, LEAST_OHMS, 1 / siemens)

    @cached_property
    def steady(self) -> tuple[Floats, Floats]:
        """Conductances and voltages of what has no memory, windings left out."""
        siemens, emf = lines(self.circuit, self.values)
        siemens = siemens.copy()
        siemens[self.windings[self.windings >= 0]] = 0.0
        return siemens, emf.copy()

    @cached_property
    def turned_ports(self) -> Floats:
        """The ports' paths, one an unknown."""
        return np.ascontiguousarray(self.system.port_paths.T)

    @cached_property
    def paths(self) -> Floats:
        """Voltages of conductors, sources, plain capacitances and coils."""
        own = self.system.line_paths
        first = len(self.steady[0])
        coils = self.system.tree.paths(self.circuit.ends["Coil"])
        return np.concatenate([own[:first], own[first + self.plain], coils])

    @cached_property
    def varying_paths(self) -> Floats:
        """Voltages of the capacitances that vary."""
        return self.system.line_paths[len(self.steady[0]) + self.varying]

    @cached_property
    def store_paths(self) -> Floats:
        """Voltages of all capacitances."""
        return self.system.line_paths[len(self.steady[0]) :]


def moving(circuit: Circuit) -> Moving:
    """Return a compiled section's equations in time, at its typical values."""
    return Moving(system(circuit, circuit.values, stores=True), circuit.values)
