"""A section driven by pulses, step by step in time.

A trapezoidal stage and one of the second-order backward formula make a step (TR-BDF2:
R. E. Bank et al., IEEE Trans. Electron Devices 32, 1985), with the third-order estimate
of its error (M. E. Hosea & L. F. Shampine, Applied Numerical Mathematics 20, 1996). Both
stages solve the same matrix. At every corner of a source the steps begin anew with a
short implicit one (Euler), which damps what the corner would set ringing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.dense import powered
from tracegraph.network.implicit import Found, Hold, Stage, solve_stage, stage_of
from tracegraph.network.lockout import held_low, starved
from tracegraph.network.moving import Moving, Rate, Stored, moving
from tracegraph.network.pulse import Pulse, Pulses, corners
from tracegraph.stage.branch import Source

PART = 1 - 0.5**0.5  # of a step: the length that an implicit stage counts for
SIDE = 0.5**1.5  # weight of the step's beginning and of its middle
# What the error estimate takes of the rates at the beginning, the middle and the end.
WEIGHTS = (SIDE - (1 - SIDE) / 3, SIDE - (3 * SIDE + 1) / 3, PART - PART / 3)
ACCURATE = 5e-4  # part of a voltage or current that a step may be off
FAINT_VOLTS, FAINT_AMPS = 2e-3, 1e-6  # that it may be off in any case
AGAIN = 0.25  # of a step that was refused twice
GROW, SHRINK, SAFE = 4.0, 0.2, 0.8
FIRST = 0.02  # of an edge: the step that follows a corner
SHORTEST = 1e-15  # seconds; a section that cannot be followed so closely jumps
FAR = 3.0  # times the last stage: so far ahead voltages are foretold
SLOWEST = 6.0  # steps at least between two corners
HOLD, LOOSER, LEAST_HOLD = 0.1, 0.2, 1e-13  # siemens that let a section jump slowly


class NotFollowedError(ArithmeticError):
    """A section that could not be solved at some time."""


class Course(NamedTuple):
    """What a section did.

    Attributes:
        times: Seconds, rising.
        unknowns: Tree branch voltages then, (times, unknowns).
        charge: Of every capacitance then, (times, stores).
        flow: Amperes into every capacitance then.
        amps: Of every coil then, (times, coils).
    """

    times: Floats
    unknowns: Floats
    charge: Floats
    flow: Floats
    amps: Floats


@dataclass(frozen=True)
class Driven:
    """A section with pulses at some of its sources.

    Attributes:
        section: Its equations.
        pulses: By the place of the source among conductors and sources.
    """

    section: Moving
    pulses: Mapping[int, Pulse]

    @property
    def circuit(self) -> Circuit:
        """The compiled section."""
        return self.section.circuit

    @property
    def by_name(self) -> Pulses:
        """The pulses, each under some name."""
        return {str(place): one for place, one in self.pulses.items()}

    def emf(self, time: float) -> Floats:
        """Return the voltages of conductors (0) and sources at a time."""
        found = self.section.steady[1].copy()
        for place, pulse in self.pulses.items():
            found[place] = pulse.at(time)
        return found


class Point(NamedTuple):
    """Where a section stands: the time, its voltages, its memory and the rates."""

    time: float
    found: Found


def driven(circuit: Circuit, pulses: Pulses) -> Driven:
    """Return a section with pulses at the sources of some owners."""
    first = circuit.counts["Conductor"]
    places = {one.owner: first + k for k, one in enumerate(circuit.of(Source))}
    return Driven(
        moving(circuit), {places[owner]: one for owner, one in pulses.items()}
    )


def at_rest(driven: Driven) -> Point:
    """Return a section as it stands before the first pulse.

    Raises:
        NotFollowedError: It has no steady levels there.
    """
    section, circuit = driven.section, driven.circuit
    values = section.values.copy()
    first = circuit.counts["Conductor"]
    values[circuit.columns["Source.volts"]] = driven.emf(0.0)[first:]
    levels, _, converged = powered(circuit, values)
    if not converged[0]:
        raise NotFollowedError("no steady levels before the first pulse")
    unknowns = section.system.tree.unknowns(levels[0])
    across = section.store_paths @ unknowns
    charge = section.farads * across
    if section.varying.size:
        charge[section.varying] = section.curve.charge(across[section.varying])[0]
    coils = section.system.tree.paths(circuit.ends["Coil"]) @ unknowns
    amps = coils / section.coil_ohms
    still = Rate(np.zeros_like(charge), np.zeros_like(amps))
    return Point(0.0, Found(unknowns, Stored(charge, amps), still))


def locked(driven: Driven, point: Point) -> Driven:
    """Return a section with the outputs low whose supply is under their lockout.

    What is locked is looked at once; whoever follows a section does so every period.
    """
    section, circuit = driven.section, driven.circuit
    nodes = section.system.tree.potentials @ point.found.unknowns
    values = held_low(circuit, circuit.values, starved(circuit, nodes))
    if (values == section.values).all():
        return driven
    return replace(driven, section=replace(section, values=values))


def follow(driven: Driven, point: Point, end: float) -> tuple[Course, Point]:
    """Return what a section does until a time, and where it stands then.

    Raises:
        NotFollowedError: It could not be solved at some time.
    """
    edge = min((one.edge for one in driven.pulses.values()), default=1e-8)
    track = [point]
    for corner in corners(driven.by_name, point.time, end):
        point = _to_corner(driven, point, corner, edge, track)
    return _course(track), point


def _course(track: list[Point]) -> Course:
    found = [one.found for one in track]
    return Course(
        np.array([one.time for one in track]),
        np.array([one.unknowns for one in found]),
        np.array([one.stored.charge for one in found]),
        np.array([one.rate.charge for one in found]),
        np.array([one.stored.amps for one in found]),
    )


def _to_corner(
    driven: Driven, point: Point, corner: float, edge: float, track: list[Point]
) -> Point:
    """Go to the next corner of a source, in steps as long as the error allows."""
    longest = (corner - point.time) / SLOWEST
    step = min(FIRST * edge, longest)
    point, first = _begin(driven, point, step), True
    track.append(point)
    refused = 0
    while corner - point.time > 1e-12 * max(corner, edge):
        left = corner - point.time
        seconds = left if step >= left else min(step, left / 2)
        taken, error = _step(driven, point, seconds, track[-2] if not first else point)
        if taken is None and seconds <= SHORTEST:
            taken, error = [_jump(driven, point, seconds)], 1.0
        if taken is None:
            step = seconds / 8
            continue
        factor = SAFE / max(error, 1e-9) ** (1 / 3)
        refused = 0 if error <= 1 else refused + 1
        if refused > 1:  # a current jumps: the error goes with the step, not its cube
            factor = min(factor, AGAIN)
        step = min(seconds * min(max(factor, SHRINK), GROW), max(longest, seconds))
        if error <= 1 or seconds <= SHORTEST or first:
            track += taken
            point = taken[-1]
        first = False
    arrived = point._replace(time=corner)
    track[-1] = arrived
    return arrived


def _begin(driven: Driven, point: Point, seconds: float) -> Point:
    """Return the section a short implicit step after a corner."""
    section, here = driven.section, point.found
    time = point.time + seconds
    stage = stage_of(section, seconds)
    start = here.unknowns, here.unknowns
    found = solve_stage(section, stage, here.stored, driven.emf(time), start)
    if found is None:
        return _jump(driven, point, seconds)
    return Point(time, found)


def _step(
    driven: Driven, point: Point, seconds: float, before: Point
) -> tuple[list[Point] | None, float]:
    """Return the points of a step and its error over what is allowed, if it is found."""
    section, here = driven.section, point.found
    stage = stage_of(section, seconds * PART)
    base = _ahead(here.stored, (here.rate,), seconds * PART)
    time = point.time + 2 * PART * seconds
    start = here.unknowns, _along(before, point, time)
    middle = solve_stage(section, stage, base, driven.emf(time), start)
    if middle is None:
        return None, np.inf
    base = _ahead(here.stored, (here.rate, middle.rate), seconds * SIDE)
    end = point.time + seconds
    start = middle.unknowns, _along(point, Point(time, middle), end)
    last = solve_stage(section, stage, base, driven.emf(end), start)
    if last is None:
        return None, np.inf
    error = _error(section, seconds, (here, middle, last))
    return [Point(time, middle), Point(end, last)], error


def _along(before: Point, point: Point, time: float) -> Floats:
    """Return the voltages at a time as two points before it foretell them."""
    gone = point.time - before.time
    if gone <= 0.0 or time - point.time > FAR * gone:
        return point.found.unknowns
    share = (time - point.time) / gone
    moved = point.found.unknowns - before.found.unknowns
    return np.asarray(point.found.unknowns + share * moved)


def _ahead(stored: Stored, rates: tuple[Rate, ...], seconds: float) -> Stored:
    charge, amps = stored
    for rate in rates:
        charge, amps = charge + seconds * rate.charge, amps + seconds * rate.amps
    return Stored(charge, amps)


def _error(section: Moving, seconds: float, found: tuple[Found, Found, Found]) -> float:
    """Return how far a step may be off, over what is allowed."""
    rates = [one.rate for one in found]
    off = sum(weight * rate.charge for weight, rate in zip(WEIGHTS, rates, strict=True))
    before, _, after = (one.stored for one in found)
    volts, farads = volts_of(section, after.charge)
    error = np.abs(seconds * np.asarray(off)) / farads
    worst = (error / (ACCURATE * np.abs(volts) + FAINT_VOLTS)).max(initial=0.0)
    turned = sum(
        weight * rate.amps for weight, rate in zip(WEIGHTS, rates, strict=True)
    )
    size = np.maximum(np.abs(before.amps), np.abs(after.amps))
    allowed = ACCURATE * size + FAINT_AMPS
    coils = (np.abs(seconds * np.asarray(turned)) / allowed).max(initial=0.0)
    return float(max(worst, coils))


def volts_of(section: Moving, charge: Floats) -> tuple[Floats, Floats]:
    """Return the voltages of capacitances by their charge, and how large they are."""
    volts, farads = charge / section.farads, section.farads
    if section.varying.size:
        farads = farads.copy()
        own = section.curve.volts(charge[section.varying])
        volts[section.varying] = own
        farads[section.varying] = section.curve.charge(own)[1]
    return volts, farads


def _jump(driven: Driven, point: Point, seconds: float) -> Point:
    """Return the section after a jump, every node having moved only slowly.

    Raises:
        NotFollowedError: It does not come to rest.
    """
    section, here = driven.section, point.found
    time = point.time + seconds
    stage: Stage = stage_of(section, seconds)
    past, siemens, emf = here.unknowns, HOLD, driven.emf(time)
    while siemens > LEAST_HOLD:
        hold = Hold(siemens, past)
        found = solve_stage(section, stage, here.stored, emf, (past, past), hold)
        if found is None:
            break
        past, siemens = found.unknowns, siemens * LOOSER
    found = solve_stage(section, stage, here.stored, emf, (past, past))
    if found is None:
        raise NotFollowedError(f"not solved {time:.3g} s after the first pulse")
    return Point(time, found)
