"""Capacitors filling while the meter is on: what is seen when.

Two implicit stages a step (L-stable, diagonally implicit Runge-Kutta of second order:
Alexander, SIAM J. Numer. Anal. 14, 1977). In a stage a capacitor is its own voltage
behind `stage / farads` ohms, so that every stage is one more steady section.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import problem_of
from tracegraph.network.detours import solve
from tracegraph.network.drive import Drive
from tracegraph.network.newton import Problem, State, newton, some
from tracegraph.network.system import Lines, system

STAGE = 1 - 0.5**0.5  # of a step
ACCURATE = 0.01  # part of a capacitor's voltage that a step may be off by first order
FAINT = 1e-3  # part of the meter's volts that it may be off in any case
QUICKEST = 1e-3  # part of the first time asked for; what settles faster is not seen
SHORTEST = 1e-3  # part of that again, where a step is not solved otherwise
GROW, SHRINK, SAFE = 4.0, 0.2, 0.9


class Charging(NamedTuple):
    """Readings at several times since touching.

    Attributes:
        volts: Red over black, (items, times); NaN from where a step was not solved.
        amps: What the meter delivers.
        residual: Worst Kirchhoff residual on the way, (items,).
    """

    volts: Floats
    amps: Floats
    residual: Floats


class _Run(NamedTuple):
    """Where every item stands: seconds gone, next step, capacitors, unknowns."""

    time: Floats
    step: Floats
    filled: Floats
    unknowns: Floats
    residual: Floats


@dataclass(frozen=True)
class _Stores:
    """The equations with capacitors among the straight branches.

    Attributes:
        problem: Section and meter; its lines are without the capacitors.
        farads: One vector or one an item.
        series_ohms: Of every capacitor.
        quickest: Step that is never refused, in seconds.
    """

    problem: Problem
    farads: Floats
    series_ohms: Floats
    quickest: float

    def take(self, rows: Ints) -> "_Stores":
        """Return the equations of some items."""
        return replace(
            self, problem=self.problem.take(rows), farads=some(self.farads, rows)
        )

    def stage(
        self, base: Floats, seconds: Floats, start: Floats, *, last: bool
    ) -> tuple[State, Floats]:
        """Return the section after an implicit step, and its capacitors' volts.

        Args:
            base: Capacitors' voltages to go from.
            seconds: The stage's length, one an item.
            start: Unknowns to begin from.
            last: Whether there is no shorter step to fall back on.
        """
        ohms = seconds[:, None] / self.farads
        siemens = 1 / (ohms + self.series_ohms)
        problem = replace(self.problem, lines=self._lines(siemens, base))
        with np.errstate(over="ignore", invalid="ignore"):
            state = solve(problem, start) if last else newton(problem, start)
        straight = self.problem.lines.siemens.shape[-1]
        across = state.unknowns @ problem.system.line_paths[straight:].T
        return state, base + siemens * (across - base) * ohms

    def _lines(self, siemens: Floats, emf: Floats) -> Lines:
        others = self.problem.lines
        shape = (len(emf), others.siemens.shape[-1])
        return Lines(
            np.concatenate([np.broadcast_to(others.siemens, shape), siemens], axis=1),
            np.concatenate([np.broadcast_to(others.emf, shape), emf], axis=1),
        )


def charge(
    circuit: Circuit,
    pairs: Ints,
    drive: Drive,
    times: Sequence[float],
    values: Floats | None = None,
    begin: Floats | None = None,
) -> Charging:
    """Return what the meter finds at some times after touching.

    Args:
        circuit: The section.
        pairs: Nodes under red and black, (items, 2).
        drive: The meter.
        times: Seconds since touching, rising.
        values: Parameters, one vector or one an item; else the typical.
        begin: Node voltages to begin from, (items, nodes); else all empty.
    """
    values = circuit.values if values is None else values
    equations = system(circuit, values, stores=True)
    stores = _Stores(
        problem_of(equations, pairs, drive, values),
        circuit.column("Store.farads", values),
        circuit.fixed["Store.series_ohms"],
        min(times) * QUICKEST,
    )
    nodes = np.zeros((len(pairs), circuit.size)) if begin is None else begin
    ends, count = circuit.ends["Store"], len(pairs)
    run = _Run(
        np.zeros(count),
        np.full(count, stores.quickest),
        nodes[:, ends[:, 0]] - nodes[:, ends[:, 1]],
        equations.tree.unknowns(nodes),
        np.zeros(count),
    )
    volts = np.empty((count, len(times)))
    for place, end in enumerate(times):
        run = _until(stores, run, end)
        volts[:, place] = np.einsum("ij,ij->i", stores.problem.probes, run.unknowns)
    joined = equations.tree.joined(pairs)[:, None]
    volts = np.where(joined, volts, drive.volts)
    with np.errstate(invalid="ignore"):
        amps = np.where(joined, drive.current(volts)[0], 0.0)
    return Charging(volts, amps, run.residual)


def _until(stores: _Stores, run: _Run, end: float) -> _Run:
    """Return the items at a common time, each having gone there in its own steps."""
    while True:
        rows = np.flatnonzero(run.time < end)
        if not rows.size:
            return run
        here = _Run(*(table[rows] for table in run))
        left = end - here.time
        # two even steps rather than a long one and a tiny rest
        seconds = np.where(here.step >= left, left, np.minimum(here.step, left / 2))
        there = _step(stores.take(rows), here, seconds)
        arrived = np.isfinite(there.time) & (there.time >= end * (1 - 1e-12))
        for whole, part in zip(run, there, strict=True):
            whole[rows] = part
        run.time[rows[arrived]] = end


def _step(stores: _Stores, run: _Run, seconds: Floats) -> _Run:
    """Return the items a step further, or where they are with a shorter step to try."""
    last = bool((seconds <= stores.quickest * SHORTEST).any())
    part = seconds * STAGE
    middle, first = stores.stage(run.filled, part, run.unknowns, last=last)
    base = run.filled + (first - run.filled) * ((1 - STAGE) / STAGE)
    state, filled = stores.stage(base, part, middle.unknowns, last=last)
    found = middle.converged & state.converged
    error = _error(stores.problem.drive, run.filled, first, base, filled)
    short = seconds <= stores.quickest
    lost = ~found & (seconds <= stores.quickest * SHORTEST)
    taken = found & ((error <= 1) | short)
    factor = np.clip(SAFE / np.sqrt(np.maximum(error, 1e-9)), SHRINK, GROW)
    step = np.where(found, np.maximum(seconds * factor, stores.quickest), seconds / 8)
    residual = np.maximum(middle.residual, state.residual)
    ahead = taken[:, None]
    unknowns = np.where(ahead, state.unknowns, run.unknowns)
    return _Run(
        np.where(lost, np.inf, run.time + np.where(taken, seconds, 0.0)),
        step,
        np.where(ahead, filled, run.filled),
        np.where(lost[:, None], np.nan, unknowns),
        np.where(taken | lost, np.maximum(run.residual, residual), run.residual),
    )


def _error(
    drive: Drive, before: Floats, first: Floats, base: Floats, after: Floats
) -> Floats:
    """Return how far a step of first order would be off, over what is allowed."""
    off = np.abs((after - base) - (first - before))
    size = np.maximum(np.abs(before), np.abs(after))
    allowed = ACCURATE * size + FAINT * abs(drive.volts) + 1e-9
    return np.asarray((off / allowed).max(axis=1, initial=0.0))
