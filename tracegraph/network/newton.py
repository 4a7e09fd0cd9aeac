"""Newton's method on a batch of equal circuits with different values and probes."""

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.circuit import Floats, Ints
from tracegraph.network.drive import Drive, trusted
from tracegraph.network.limits import Knees, drive_knees, port_knees
from tracegraph.network.system import Lines, System

Truths = NDArray[np.bool_]

ROUNDS = 60
EAGER = 14  # rounds after which swinging to and fro is damped, now and then
SHARES = (1.0, 0.5, 1.0, 0.3, 1.0, 0.7, 1.0, 1.0)  # of the way to go
STEP = 1e-6  # volts; what is left after a step is its square over 26 mV or so
RELATIVE_STEP = 1e-9
LEAST_SCALE = 1e-15  # siemens


class State(NamedTuple):
    """Where a batch stands.

    Attributes:
        unknowns: Tree branch voltages, (items, unknowns).
        residual: Worst Kirchhoff residual, amperes.
        converged: Where this is an answer.
    """

    unknowns: Floats
    residual: Floats
    converged: Truths


SPARE_VOLTS = 1.0
HALTS = 4  # every so many rounds an output may turn over right across


class Hold(NamedTuple):
    """What keeps every node where it was.

    Attributes:
        siemens: Conductance from every node to its own past, one an item.
        past: Tree branch voltages then, an item a row.
    """

    siemens: Floats
    past: Floats


@dataclass(frozen=True)
class Problem:
    """A batch of circuits of one structure.

    Attributes:
        system: The structure.
        lines: Straight branches, one vector or one an item.
        values: Parameter vectors, one or one an item.
        drive: The meter.
        probes: Voltage across the probes in terms of the unknowns, an item a row;
            zero where the meter drives nothing.
        leads: Current that one ampere from the meter takes from the nodes, likewise.
        hold: What slows every node down; None for an answer.
    """

    system: System
    lines: Lines
    values: Floats
    drive: Drive
    probes: Floats
    leads: Floats
    hold: Hold | None = None

    def take(self, rows: Ints) -> "Problem":
        """Return the problem of some items."""
        return replace(
            self,
            lines=Lines(*(some(table, rows) for table in self.lines)),
            values=some(self.values, rows),
            probes=self.probes[rows],
            leads=self.leads[rows],
            hold=self.hold and Hold(self.hold.siemens[rows], self.hold.past[rows]),
        )

    @property
    def most(self) -> float:
        """Volts that no port can exceed: all sources in a row."""
        sources = np.abs(self.lines.emf).sum(axis=-1).max(initial=0.0)
        return float(abs(self.drive.volts) + sources + SPARE_VOLTS)

    def scaled(self, share: float) -> "Problem":
        """Return the problem with all sources and the meter turned down."""
        amps, ohms, volts = self.drive
        lines = Lines(self.lines.siemens, self.lines.emf * share)
        return replace(
            self, lines=lines, drive=Drive(amps * share, ohms, volts * share)
        )

    def softened(self, share: float) -> "Problem":
        """Return the problem with less steep followers."""
        circuit = self.system.circuit
        gain = circuit.fixed["Follower.gain"] * share
        fixed = MappingProxyType({**circuit.fixed, "Follower.gain": gain})
        soft = replace(self.system, circuit=replace(circuit, fixed=fixed))
        return replace(self, system=soft)

    def held(self, siemens: Floats, past: Floats) -> "Problem":
        """Return the problem with every node held to where it was."""
        return replace(self, hold=Hold(siemens, past))


def some(table: Floats, rows: Ints) -> Floats:
    """Return rows of a table with one row an item; one row for all stays."""
    return table[rows] if table.ndim > 1 else table


class _Work(NamedTuple):
    """Items under way: unknowns, points to linearise at, last step, straight part."""

    unknowns: Floats
    ports: Floats
    across: Floats
    step: Floats
    straight: Floats

    def take(self, rows: Ints) -> "_Work":
        straight = self.straight[rows] if self.straight.ndim > 2 else self.straight
        return _Work(
            self.unknowns[rows],
            self.ports[rows],
            self.across[rows],
            self.step[rows],
            straight,
        )

    def nearer(self, before: Floats, share: float) -> "_Work":
        """Return the items with a part of the way to the next points only."""
        return self._replace(ports=before + share * (self.ports - before))


class _Flow(NamedTuple):
    """Currents at the present point: excess by cut and by node, and the slopes."""

    excess: Floats
    residual: Floats
    slopes: Floats
    drive_slope: Floats
    bent: Truths

    def take(self, rows: Ints) -> "_Flow":
        return _Flow(
            self.excess[rows],
            self.residual[rows],
            self.slopes[rows],
            self.drive_slope[rows],
            self.bent[rows],
        )


def newton(problem: Problem, start: Floats, rounds: int = ROUNDS) -> State:
    """Return where Newton's method comes to rest, converged or not."""
    count = len(start)
    state = State(start.copy(), np.full(count, np.inf), np.zeros(count, np.bool_))
    knees = port_knees(problem.system.circuit, problem.values, problem.drive.amps)
    clamp = drive_knees(problem.drive)
    work = _begin(problem, start)
    rows = np.arange(count)
    for turn in range(rounds):
        flow = _flow(problem, work)
        rest = ~flow.bent & (work.step <= 1.0) & trusted(flow.residual, problem.drive)
        state.unknowns[rows], state.residual[rows] = work.unknowns, flow.residual
        state.converged[rows] = rest
        left = np.flatnonzero(~rest)
        if not left.size:
            break
        if left.size < rows.size:
            rows, problem = rows[left], problem.take(left)
            work, flow = work.take(left), flow.take(left)
            knees = Knees(*(some(table, left) for table in knees))
        before, work = work.ports, _advance(problem, work, flow, knees, clamp, turn)
        share = SHARES[turn % len(SHARES)] if turn >= EAGER else 1.0
        if share < 1.0:
            work = work.nearer(before, share)
    return state


def _begin(problem: Problem, start: Floats) -> _Work:
    return _Work(
        start,
        start @ problem.system.port_paths.T,
        _across(problem, start),
        np.full(len(start), np.inf),
        problem.system.straight(problem.lines),
    )


def _across(problem: Problem, unknowns: Floats) -> Floats:
    return np.asarray(np.einsum("ij,ij->i", problem.probes, unknowns))


def _flow(problem: Problem, work: _Work) -> _Flow:
    """Return the currents, junctions linearised at the limited points."""
    system, drive = problem.system, problem.drive
    ports, across = (
        work.unknowns @ system.port_paths.T,
        _across(problem, work.unknowns),
    )
    law = system.law(problem.values, work.ports)
    missing = ports - work.ports
    port_amps = law.amps + system.by_slopes(law.slopes, missing)
    line_volts = work.unknowns @ system.line_paths.T - problem.lines.emf
    line_amps = problem.lines.siemens * line_volts
    amps, slope = drive.current(work.across)
    amps = amps + slope * (across - work.across)
    excess = line_amps @ system.line_paths + port_amps @ system.port_paths
    excess -= amps[:, None] * problem.probes
    nodes = system.imbalance(line_amps, port_amps) - amps[:, None] * problem.leads
    if problem.hold is not None:
        away = (work.unknowns - problem.hold.past) @ system.tree.potentials.T
        away *= problem.hold.siemens[:, None]
        excess += away @ system.tree.potentials
        nodes += away
        nodes[:, system.tree.roots] = 0.0  # what holds the others stands on these
    bent = (missing != 0.0).any(axis=1) | (across != work.across)
    return _Flow(excess, np.abs(nodes).max(axis=1), law.slopes, slope, bent)


def matrix(problem: Problem, straight: Floats, slopes: Floats, drive: Floats) -> Floats:
    """Return the derivative of the excess currents by the unknowns, one an item."""
    table = straight + problem.system.bent(slopes)
    table -= (drive[:, None] * problem.probes)[:, :, None] * problem.probes[:, None, :]
    if problem.hold is not None:
        tree = problem.system.tree.potentials
        table += problem.hold.siemens[:, None, None] * (tree.T @ tree)
    return table


def _advance(
    problem: Problem, work: _Work, flow: _Flow, knees: Knees, clamp: Knees, turn: int
) -> _Work:
    table = matrix(problem, work.straight, flow.slopes, flow.drive_slope)
    change = -solve_scaled(table, flow.excess)
    unknowns = work.unknowns + change
    unknowns[~np.isfinite(unknowns)] = 0.0
    allowed = STEP + RELATIVE_STEP * np.abs(unknowns).max(axis=1, initial=0.0)
    most = problem.most
    wanted = np.clip(unknowns @ problem.system.port_paths.T, -most, most)
    return _Work(
        unknowns,
        knees.limit(wanted, work.ports, halt=turn % HALTS == 0),
        clamp.limit(_across(problem, unknowns), work.across),
        np.abs(change).max(axis=1, initial=0.0) / allowed,
        work.straight,
    )


def solve_scaled(table: Floats, right: Floats) -> Floats:
    """Return the solutions of a batch of systems, rows and columns brought to scale.

    Along the tree a diagonal may be 1e3 S beside 1e-12 S; divided by the roots of
    the diagonal, what is left is close to one.
    """
    scale = 1 / np.sqrt(
        np.maximum(np.abs(np.diagonal(table, axis1=-2, axis2=-1)), LEAST_SCALE)
    )
    scaled = scale[:, :, None] * table * scale[:, None, :]
    finite = np.isfinite(scaled)
    if not finite.all():
        scaled[~finite.all(axis=(1, 2))] = np.eye(scaled.shape[-1])
    weighted = (scale * right)[:, :, None]
    try:
        found = np.linalg.solve(scaled, weighted)[:, :, 0]
    except np.linalg.LinAlgError:
        found = _nearest(scaled, weighted[:, :, 0])
    return np.asarray(scale * found)


def _nearest(tables: Floats, rights: Floats) -> Floats:
    """Return least-squares solutions: one of the systems is exactly singular."""
    faintest = np.finfo(float).eps * tables.shape[-1]  # as in np.linalg.lstsq
    inverses = np.linalg.pinv(tables, rcond=faintest)
    return np.asarray((inverses @ np.nan_to_num(rights)[:, :, None])[:, :, 0])
