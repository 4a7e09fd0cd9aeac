"""One implicit stage of a section in time, solved by Newton's method.

In a stage of `seconds` a capacitor is its own voltage behind `seconds / farads` ohms,
a coil a current beside `seconds / henries` siemens, its winding's resistance in series.
A gate-drain capacitance is taken by its charge, so that none is lost on the way.
"""

from collections.abc import Sequence
from math import isfinite
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.network.moving import Moving, Rate, Stored
from tracegraph.network.newton import HALTS, LEAST_SCALE, SHARES

ROUNDS = 40
EAGER = 12  # rounds after which swinging to and fro is damped, now and then
STEP, RELATIVE_STEP = 5e-4, 1e-6  # volts; what is left is its square over 26 mV or so


class Hold(NamedTuple):
    """What slows every node down where a section jumps: siemens to its own past."""

    siemens: float
    past: Floats


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
