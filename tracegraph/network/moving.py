"""The equations of a section in time: one implicit stage, solved by Newton's method.

In a stage of `seconds` a capacitor is its own voltage behind `seconds / farads` ohms,
a coil a current beside `seconds / henries` siemens, its winding's resistance in series.
A gate-drain capacitance is taken by its charge, so that none is lost on the way.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isfinite
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.curve import Curve
from tracegraph.network.limits import Knees, port_knees
from tracegraph.network.newton import HALTS, LEAST_SCALE, SHARES
from tracegraph.network.one import Law, laws_of
from tracegraph.network.system import System, lines, system
from tracegraph.stage.branch import Coil, Conductor

ROUNDS = 40
EAGER = 12  # rounds after which swinging to and fro is damped, now and then
STEP, RELATIVE_STEP = 5e-4, 1e-6  # volts; what is left is its square over 26 mV or so
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


class Hold(NamedTuple):
    """What slows every node down where a section jumps: siemens to its own past."""

    siemens: float
    past: Floats


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


class Stage(NamedTuple):
    """An implicit stage.

    Attributes:
        seconds: How long it is, for what changes by its own rate at its end.
        straight: Matrix of the straight branches.
        siemens: Their conductances.
    """

    seconds: float
    straight: Floats
    siemens: Floats


def stage_of(section: Moving, seconds: float) -> Stage:
    """Return what a stage of some length is made of, whatever it starts from."""
    stores = 1 / (seconds / section.farads[section.plain] + section.series_ohms)
    ratio = seconds / section.henries
    coils = ratio / (1 + ratio * section.coil_ohms)
    siemens = np.concatenate([section.steady[0], stores, coils])
    paths = section.paths
    return Stage(seconds, (paths.T * siemens) @ paths, siemens)


class Found(NamedTuple):
    """Where a stage ends.

    Attributes:
        unknowns: Tree branch voltages.
        stored: What the section remembers then.
        rate: How fast that changes then.
    """

    unknowns: Floats
    stored: Stored
    rate: Rate


def solve_stage(
    section: Moving,
    stage: Stage,
    base: Stored,
    emf: Floats,
    start: tuple[Floats, Floats],
    hold: Hold | None = None,
) -> Found | None:
    """Return the end of a stage, or None where Newton's method does not arrive.

    Args:
        section: The section.
        stage: How long it is.
        base: What it remembers to go from.
        emf: Voltages of the conductors (0) and sources then.
        start: Unknowns as they were, and as they may be then, to begin from.
        hold: What slows the nodes down.
    """
    plain, seconds = section.plain, stage.seconds
    behind = np.concatenate(
        [
            emf,
            base.charge[plain] / section.farads[plain],
            -base.amps * section.henries / seconds,
        ]
    )
    unknowns = _newton(
        section, stage, behind, base.charge[section.varying], start, hold
    )
    if unknowns is None:
        return None
    across = section.paths @ unknowns
    amps = stage.siemens * (across - behind)
    first = len(emf)
    coils = amps[first + len(plain) :]
    charge, flow = np.empty(len(section.farads)), np.empty(len(section.farads))
    flow[plain] = amps[first : first + len(plain)]
    charge[plain] = base.charge[plain] + seconds * flow[plain]
    if section.varying.size:
        held, _ = section.curve.charge(section.varying_paths @ unknowns)
        charge[section.varying] = held
        flow[section.varying] = (held - base.charge[section.varying]) / seconds
    return Found(
        unknowns, Stored(charge, coils), Rate(flow, (coils - base.amps) / seconds)
    )


def _newton(
    section: Moving,
    stage: Stage,
    emf: Floats,
    before: Floats,
    start: tuple[Floats, Floats],
    hold: Hold | None,
) -> Floats | None:
    paths, ports = section.paths, section.system.port_paths
    turned, curved = section.turned_ports, section.varying_paths
    past, unknowns = start
    points = ports @ unknowns
    if unknowns is not past:
        points, _ = _limited(section, points, ports @ past, 1)
    held = True
    for turn in range(ROUNDS):
        amps, slopes = _law(section, points)
        table = stage.straight + turned @ slopes @ ports
        if held:
            amps = amps + slopes @ (ports @ unknowns - points)
        excess = (stage.siemens * (paths @ unknowns - emf)) @ paths + turned @ amps
        if len(curved):
            charge, farads = section.curve.one_by_one(curved @ unknowns)
            excess += ((charge - before) / stage.seconds) @ curved
            table += (curved.T * (farads / stage.seconds)) @ curved
        if hold is not None:
            tree = section.system.tree.potentials
            excess += hold.siemens * (tree @ (unknowns - hold.past)) @ tree
            table += hold.siemens * tree.T @ tree
        change = _solved(table, excess)
        if change is None:
            return None
        unknowns = unknowns - change
        wanted = ports @ unknowns
        limited, held = _limited(section, wanted, points, turn)
        moved = float(np.abs(change).max(initial=0.0))
        if not isfinite(moved):
            return None
        if not held and moved <= STEP + RELATIVE_STEP * float(np.abs(unknowns).max()):
            return unknowns
        if turn >= EAGER:
            limited, held = (
                points + SHARES[turn % len(SHARES)] * (limited - points),
                True,
            )
        points = limited
    return None


def _law(section: Moving, points: Floats) -> tuple[Floats, Floats]:
    """Return currents of the ports, and their slopes as a square table."""
    count = len(points)
    volts: Sequence[float] = points.tolist()
    amps, slopes = [0.0] * count, [0.0] * len(section.entries)
    for one in section.laws:
        one(volts, amps, slopes)
    table = np.zeros(count * count)
    table[section.entries] = slopes
    return np.array(amps), table.reshape(count, count)


def _limited(
    section: Moving, wanted: Floats, before: Floats, turn: int
) -> tuple[Floats, bool]:
    """Return the points to linearise at, and whether a port was held back."""
    away = np.abs(wanted - before)
    if away.max(initial=0.0) <= section.nearest:
        return wanted, False
    limited = section.knees.limit(wanted, before, halt=turn % HALTS == 0)
    return limited, bool((limited != wanted).any())


def _solved(table: Floats, right: Floats) -> Floats | None:
    """Return the solution of a system brought to scale, or None where it has none."""
    own = table.ravel()[:: len(table) + 1]
    scale = 1 / np.sqrt(np.maximum(np.abs(own), LEAST_SCALE))
    try:
        found = scale * np.linalg.solve(scale[:, None] * table * scale, scale * right)
    except np.linalg.LinAlgError:
        return None
    return np.asarray(found)
