"""The few ports that a step of Newton's method must treat as unknowns.

Every port is at first taken at its idle slope, for which the section is inverted
already. Where a port's slope has moved so far that this matters, the port is hot: its
step follows from a small system of the hot ports and the meter (Woodbury's identity).
Most readings have fewer than ten hot ports, so systems of one size are stacked.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.device import pattern
from tracegraph.network.skeleton import Truths

MATTERS = 1e-3  # share of a step that may be wrong for a port taken as idle
SPARE = 3  # systems are stacked with others that are up to a third larger
LARGEST = 1_000_000  # matrix entries in a stack
NUDGE = 1e-9  # of the largest entry


class Link(NamedTuple):
    """Currents that follow another port's voltage, one at most for each voltage.

    Attributes:
        voltage: Ports whose voltage acts.
        current: Ports whose current follows.
        entry: Where in the slopes it stands.
    """

    voltage: Ints
    current: Ints
    entry: Ints


def links(circuit: Circuit) -> tuple[Link, ...]:
    """Return the slopes across ports, in as few tables as can be."""
    places, ports = pattern(circuit), len(circuit.ports)
    rows, columns = places.rows[ports:], places.columns[ports:]
    turn = np.array(
        [np.count_nonzero(columns[:k] == column) for k, column in enumerate(columns)],
        np.intp,
    )
    return tuple(
        Link(columns[turn == k], rows[turn == k], ports + np.flatnonzero(turn == k))
        for k in range(turn.max(initial=-1) + 1)
    )


class Bend(NamedTuple):
    """Slopes that currents have beyond the idle ones.

    Every table has a row more than there are ports: a port that isn't there.

    Attributes:
        slopes: By a port's voltage, (ports + 1, readings).
        follows: The port whose current has it, (ports + 1,).
    """

    slopes: Floats
    follows: Ints


def bends(slopes: Floats, idle: Floats, across: tuple[Link, ...]) -> tuple[Bend, ...]:
    """Return the slopes beyond the idle ones: each port's own first, then the links."""
    ports, readings = len(idle), slopes.shape[1]
    own = np.zeros((ports + 1, readings))
    np.subtract(slopes[:ports], idle[:, None], out=own[:ports])
    found = [Bend(own, np.arange(ports + 1))]
    for link in across:
        table, follows = np.zeros_like(own), np.full(ports + 1, ports, np.intp)
        table[link.voltage] = slopes[link.entry]
        follows[link.voltage] = link.current
        found.append(Bend(table, follows))
    return tuple(found)


def hot_ports(bent: tuple[Bend, ...], impedance: Floats) -> Truths:
    """Return where a port's voltage moves currents so that others feel it."""
    felt = np.append(np.diagonal(impedance), 0.0)
    hot = np.zeros(bent[0].slopes.shape, np.bool_)
    for slopes, follows in bent:
        hot |= np.abs(slopes) * felt[follows][:, None] > MATTERS
    return hot[:-1]


class Stack(NamedTuple):
    """Readings with about as many hot ports.

    Attributes:
        readings: Which ones.
        ports: Their hot ports, (readings, most); a reading with fewer has the port
            that isn't there.
    """

    readings: Ints
    ports: Ints


def stacks(hot: Truths) -> Iterator[Stack]:
    """Yield readings by how many hot ports they have, from (ports, readings)."""
    ports, width = hot.shape
    readings, which = np.nonzero(hot.T)
    counts = np.bincount(readings, minlength=width)
    place = np.arange(len(readings)) - np.repeat(np.cumsum(counts) - counts, counts)
    table = np.full((width, counts.max(initial=0)), ports, np.intp)
    table[readings, place] = which
    order = np.argsort(counts, kind="stable")
    ranked, start = counts[order], 0
    while start < width:
        most = int(ranked[start] + ranked[start] // SPARE)
        stop = int(np.searchsorted(ranked, most, side="right"))
        stop = min(stop, start + LARGEST // (most + 1) ** 2 + 1)
        chosen = order[start:stop]
        yield Stack(chosen, table[chosen, : ranked[stop - 1]])
        start = stop


class Step(NamedTuple):
    """A step of Newton's method, or the part of it that idle ports would make.

    Attributes:
        ports: Of the port voltages, (ports, readings).
        across: Of the voltage across the probes.
    """

    ports: Floats
    across: Floats


class Reach(NamedTuple):
    """What one ampere does, all ports idle.

    Attributes:
        impedance: Port voltages for currents between ports, and a last row and column
            of zeros, (ports + 1, ports + 1).
        probes: Port voltages for the meter's current, (ports + 1, readings).
        own: Voltage across the probes for the meter's current.
        delivered: Slope of what the meter delivers.
    """

    impedance: Floats
    probes: Floats
    own: Floats
    delivered: Floats


def corrected(idle: Step, bent: tuple[Bend, ...], reach: Reach, hot: Truths) -> Step:
    """Return the step with the hot ports and the meter at their true slopes."""
    amps = np.zeros_like(reach.probes)
    across = np.empty_like(idle.across)
    for stack in stacks(hot):
        found = _solved(stack, idle, bent, reach)
        readings, ports = stack.readings[:, None], stack.ports
        across[stack.readings] = found[:, -1]
        for slopes, follows in bent:
            amps[follows[ports], readings] += slopes[ports, readings] * found[:, :-1]
    pushed = reach.probes[:-1] * (reach.delivered * across)
    return Step(idle.ports - reach.impedance[:-1] @ amps + pushed, across)


def _solved(stack: Stack, idle: Step, bent: tuple[Bend, ...], reach: Reach) -> Floats:
    """Return the hot ports' voltage steps and the meter's, (readings, most + 1)."""
    readings, ports = stack
    count, most = ports.shape
    rows = readings[:, None]
    table = np.zeros((count, most + 1, most + 1))
    first, *others = bent
    own = first.slopes[ports, rows]
    cells = ports[:, :, None] * len(reach.impedance) + ports[:, None, :]
    np.multiply(reach.impedance.take(cells), own[:, None, :], out=table[:, :-1, :-1])
    np.multiply(reach.probes[ports, rows], own, out=table[:, -1, :-1])
    for slopes, follows in others:
        _follow(table, stack, reach, slopes, follows)
    delivered = reach.delivered[readings]
    table[:, :-1, -1] = -reach.probes[ports, rows] * delivered[:, None]
    table[:, -1, -1] = -reach.own[readings] * delivered
    table.reshape(count, -1)[:, :: most + 2] += 1.0
    right = np.zeros((count, most + 1, 1))
    known = np.minimum(ports, len(idle.ports) - 1)
    right[:, :-1, 0] = np.where(ports == known, idle.ports[known, rows], 0.0)
    right[:, -1, 0] = idle.across[readings]
    return _solve(table, right)[:, :, 0]


def _follow(
    table: Floats, stack: Stack, reach: Reach, slopes: Floats, follows: Ints
) -> None:
    """Add the currents that follow another port's voltage; few do."""
    readings, ports = stack
    slope = slopes[ports, readings[:, None]]
    row, column = np.nonzero(slope)
    if row.size:
        steep, moved = slope[row, column], follows[ports[row, column]]
        felt = reach.impedance[ports[row], moved[:, None]]
        table[row, :-1, column] += felt * steep[:, None]
        table[row, -1, column] += reach.probes[moved, readings[row]] * steep


def _solve(table: Floats, right: Floats) -> Floats:
    """Return the solutions of stacked systems, a singular one nudged to be none.

    A step out of a singular place is a guess like any other: the next round judges it.
    """
    try:
        return np.asarray(np.linalg.solve(table, right))
    except np.linalg.LinAlgError:
        nudge = NUDGE * np.abs(table).max(axis=(1, 2))
        own = np.arange(table.shape[1])
        table[:, own, own] += nudge[:, None]
        return np.asarray(np.linalg.solve(table, right))
