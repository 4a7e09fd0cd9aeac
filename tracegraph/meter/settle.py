"""What is seen while a hand holds the probes: early displays, and when they rest."""

from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.meter.instrument import displayed, polarised
from tracegraph.meter.profile import Scale
from tracegraph.meter.table import Table, nodes_of
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.slow import slow
from tracegraph.network.spread import spread_of
from tracegraph.network.transient import charge
from tracegraph.stage.reading import Mode

PATIENCE = 10.0  # seconds a hand holds still; common practice, no source
SOON = 0.2  # seconds until an eye can read a display
DRAWS = 64
SEED = 11
SAME = 0.01  # part of a display within which it is said to rest
PER_DECADE = 12
TIMES = tuple(float(t) for t in np.geomspace(0.1, 1000.0, 4 * PER_DECADE + 1))
LARGE = 0.1  # part of the largest capacitor from which another is named too


class Early(NamedTuple):
    """Early displays, one row a reading.

    Attributes:
        differs: Whether the early display is another than the settled one.
        first: Display as soon as an eye can read it, in SI units; infinite for OL.
        values: Display at the time asked for, likewise.
        scale: Index of the scale on which the meter stands then.
        settles: Seconds until the display rests; 0 where it does at once, infinite
            where it never does.
        stores: Designators of the capacitors that make readings slow, largest first.
    """

    differs: NDArray[np.bool_]
    first: Floats
    values: Floats
    scale: Ints
    settles: Floats
    stores: tuple[str, ...]


def early(table: Table, after: float) -> Early:
    """Return what the usual board shows `after` seconds from touching.

    Capacitors are found empty; the meter settles on the lowest scale that holds what
    it sees at that moment.
    """
    circuit, shown = table.usual.board.circuit, table.usual.shown
    found = Early(
        np.zeros(len(table.pairs), bool),
        shown.values.copy(),
        shown.values.copy(),
        shown.scale.copy(),
        np.zeros(len(table.pairs)),
        _stores(circuit),
    )
    if table.mode is Mode.CAP or not found.stores:
        return found
    pairs = polarised(nodes_of(circuit, table.pairs), table.mode, table.profile)
    waits = _waits(circuit, pairs, table)
    left = np.flatnonzero(waits)
    scales = table.profile.scales(table.mode)
    for index, one in enumerate(scales if left.size else ()):
        seen = seen_at(circuit, pairs[left], table, one, min(SOON, after / 2), after)
        holds = ~np.isinf(seen[:, 1]) | (index == len(scales) - 1)
        here = left[holds]
        found.first[here], found.values[here] = seen[holds].T
        found.scale[here] = index
        left = left[~holds]
        if not left.size:
            break
    moves = ~table.same(found.values, np.arange(len(waits)))
    found.differs[:] = waits & moves & ~np.isnan(found.values)
    for row in np.flatnonzero(found.differs):
        scale = scales[int(shown.scale[row])]
        found.settles[row] = _rests(circuit, pairs[[row]], table, scale)
    return found


def early_window(
    table: Table, pair: int, found: Early, after: float
) -> tuple[float, float]:
    """Return least and greatest early display of drawn healthy boards, meter included."""
    circuit = table.usual.board.circuit
    scale = table.profile.scales(table.mode)[int(found.scale[pair])]
    nodes = polarised(nodes_of(circuit, [table.pairs[pair]]), table.mode, table.profile)
    spread = spread_of(circuit)
    values = spread.values(spread.draw(np.random.default_rng(SEED), DRAWS))
    run = charge(
        circuit, np.repeat(nodes, DRAWS, axis=0), scale.drive, (after,), values
    )
    seen = displayed(run.volts[:, 0], run.amps[:, 0], table.mode, table.profile)
    low, high = float(np.nanmin(seen)), float(np.nanmax(seen))
    return low - scale.error(low), min(high + scale.error(high), scale.full)


def _waits(circuit: Circuit, pairs: Ints, table: Table) -> NDArray[np.bool_]:
    """Return the readings that a capacitor may hold up, on the scale they rest on."""
    waits = np.zeros(len(pairs), bool)
    scales = table.profile.scales(table.mode)
    for index in np.unique(table.usual.shown.scale):
        rows = np.flatnonzero(table.usual.shown.scale == index)
        waits[rows] = slow(circuit, pairs[rows], scales[int(index)].drive)
    return waits


def seen_at(
    circuit: Circuit, pairs: Ints, table: Table, scale: Scale, *times: float
) -> Floats:
    """Return the displays at some times, (readings, times); infinite for OL."""
    run = charge(circuit, pairs, scale.drive, times)
    seen = displayed(run.volts, run.amps, table.mode, table.profile)
    return np.where(seen > scale.full, np.inf, seen)


def _rests(circuit: Circuit, pair: Ints, table: Table, scale: Scale) -> float:
    """Return the seconds after which a display does not change any more."""
    run = charge(circuit, pair, scale.drive, TIMES)
    seen = displayed(run.volts, run.amps, table.mode, table.profile)[0]
    if seen[-1] > scale.full:
        return _crossing(seen, scale.full)
    moving = np.flatnonzero(np.abs(seen - seen[-1]) > SAME * abs(seen[-1]))
    if not moving.size:
        return TIMES[0]
    late = moving[-1] >= len(TIMES) - PER_DECADE // 3
    return inf if late else TIMES[moving[-1] + 1]


def _crossing(seen: Floats, full: float) -> float:
    """Return when a display goes over the scale for good."""
    under = np.flatnonzero(seen <= full)
    if not under.size:
        return TIMES[0]
    last = int(under[-1])
    ends = slice(last, last + 2)
    return float(np.interp(full, seen[ends], TIMES[ends]))


def _stores(circuit: Circuit) -> tuple[str, ...]:
    """Return the largest capacitors' designators."""
    farads = circuit.column("Store.farads")
    owners = [
        one.owner for one in circuit.placed if type(one.branch).__name__ == "Store"
    ]
    order = np.argsort(-farads, kind="stable")
    return tuple(owners[k] for k in order[:2] if farads[k] > LARGE * farads.max())
