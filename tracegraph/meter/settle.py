"""What is seen while a hand holds the probes: early displays, and when they rest."""

from collections.abc import Mapping, Sequence
from math import inf, isinf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.meter.instrument import displayed, polarised
from tracegraph.meter.profile import Scale
from tracegraph.meter.unknowns.table import Table, nodes_of
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.retune import without
from tracegraph.network.slow import one_step, slow
from tracegraph.network.transient import charge
from tracegraph.stage.branch import Store
from tracegraph.stage.reading import Mode

PATIENCE = 10.0  # seconds a hand holds still; common practice, no source
SOON = 0.2  # seconds until an eye can read a display
STRETCH = 1.5 * 1.25  # a hand's second, and a capacitor's tolerance
STILL = 0.05  # tolerance of what does not climb
SAME = 0.01  # part of a display within which it is said to rest
PER_DECADE = 8
TIMES = tuple(float(t) for t in np.geomspace(0.1, 100.0, 3 * PER_DECADE + 1))
MOST_STORES = 6  # capacitors that are asked whether they hold a reading up


class Early(NamedTuple):
    """Early displays, one row a reading.

    Attributes:
        differs: Whether the early display is another than the settled one.
        first: Display as soon as an eye can read it, in SI units; infinite for OL.
        values: Display at the time asked for, likewise.
        scale: Index of the scale on which the meter stands then.
        settles: Seconds until the display rests; 0 where it does at once, infinite
            where it never does.
        stores: Of each reading, designators of the capacitors that hold it up.
        others: By row of the table, what other boards show then, for the readings
            that do not rest while a hand holds the probes.
    """

    differs: NDArray[np.bool_]
    first: Floats
    values: Floats
    scale: Ints
    settles: Floats
    stores: tuple[tuple[str, ...], ...]
    others: Mapping[int, Floats]

    def held(self, pair: int) -> bool:
        """Return whether a reading does not rest while a hand holds the probes."""
        return bool(self.settles[pair] > PATIENCE)


def early(table: Table, after: float) -> Early:
    """Return what is seen `after` seconds from touching, capacitors found empty."""
    circuit = table.usual.board.circuit
    count = len(table.pairs)
    waits = np.zeros(count, bool)
    if table.mode is not Mode.CAP and circuit.counts["Store"]:
        waits = _waits(circuit, table)
    first, values, scale = _moment(table, 0, np.flatnonzero(waits), after)
    differs = waits & ~table.same(values, np.arange(count)) & ~np.isnan(values)
    settles = _rests(circuit, table, np.flatnonzero(differs))
    held = np.flatnonzero(settles > PATIENCE)
    rows = {row for pair in held for row in table.alone(table.movers(int(pair))[:1])}
    others = {row: _moment(table, row, held, after)[1] for row in sorted(rows)}
    stores = _stores(table, np.flatnonzero(differs), after)
    return Early(differs, first, values, scale, settles, stores, others)


def _moment(
    table: Table, row: int, pairs: Ints, after: float
) -> tuple[Floats, Floats, Ints]:
    """Return a board's first and early displays, and the scale it stands on then.

    The meter settles on the lowest scale that holds what it sees at that moment;
    readings not asked for keep what they rest at.
    """
    board, shown = table.rows[row]
    first, values, scale = shown.values.copy(), shown.values.copy(), shown.scale.copy()
    scales = table.profile.scales(table.mode)
    left = pairs
    if left.size:  # a rough look tells from which scale on it is worth running
        nodes = nodes_of(board.circuit, [table.pairs[pair] for pair in pairs])
        rough = table.shown_by(one_step(board.circuit, after), nodes)
        scale[pairs] = rough.scale
    for index, one in enumerate(scales):
        here = left[scale[left] <= index]
        if not here.size:
            continue
        seen = _seen(board.circuit, table, here, one, (min(SOON, after / 2), after))
        holds = ~np.isinf(seen[:, 1]) | (index == len(scales) - 1)
        first[here[holds]], values[here[holds]] = seen[holds].T
        scale[here[holds]] = index
        left = np.setdiff1d(left, here[holds])
    return first, values, scale


def early_windows(
    table: Table, pairs: Ints, found: Early, after: float
) -> dict[int, tuple[float, float]]:
    """Return least and greatest early display of healthy boards, meter included.

    The hand's second is anything from two thirds of one to one and a half, and a
    capacitor that is a quarter too large fills a quarter later: both are a stretch of
    time. What does not climb has its own tolerance.
    """
    circuit = table.usual.board.circuit
    times = (after / STRETCH, after * STRETCH)
    windows: dict[int, tuple[float, float]] = {}
    for index, scale in enumerate(table.profile.scales(table.mode)):
        here = pairs[found.scale[pairs] == index]
        seen = _seen(circuit, table, here, scale._replace(full=inf), times)
        for pair, ends in zip(here, seen, strict=True):
            low, high = float(ends.min()) * (1 - STILL), float(ends.max()) * (1 + STILL)
            low, high = low - scale.error(low), high + scale.error(high)
            windows[int(pair)] = max(low, 0.0), min(high, scale.full)
    return windows


def _waits(circuit: Circuit, table: Table) -> NDArray[np.bool_]:
    """Return the readings that a capacitor may hold up, on the scale they rest on."""
    waits = np.zeros(len(table.pairs), bool)
    pairs = polarised(nodes_of(circuit, table.pairs), table.mode, table.profile)
    for index, scale in enumerate(table.profile.scales(table.mode)):
        rows = np.flatnonzero(table.usual.shown.scale == index)
        if rows.size:
            waits[rows] = slow(circuit, pairs[rows], scale.drive)
    return waits


def _seen(
    circuit: Circuit,
    table: Table,
    pairs: Ints,
    scale: Scale,
    times: Sequence[float],
) -> Floats:
    """Return displays at some times, (readings, times); infinite for OL."""
    nodes = nodes_of(circuit, [table.pairs[pair] for pair in pairs])
    plus = polarised(nodes, table.mode, table.profile)
    if not pairs.size:
        return np.zeros((0, len(times)))
    run = charge(circuit, plus, scale.drive, times)
    seen = displayed(run.volts, run.amps, table.mode, table.profile)
    return np.where(seen > scale.full, np.inf, seen)


def _rests(circuit: Circuit, table: Table, pairs: Ints) -> Floats:
    """Return for all pairs the seconds after which a display does not change any more."""
    found = np.zeros(len(table.pairs))
    for index, scale in enumerate(table.profile.scales(table.mode)):
        here = pairs[table.usual.shown.scale[pairs] == index]
        if here.size:
            endless = scale._replace(full=inf)
            seen = _seen(circuit, table, here, endless, TIMES)
            steady = table.usual.shown.values[here]
            ends = zip(seen, steady, strict=True)
            found[here] = [_rest(row, end, scale.full) for row, end in ends]
    return found


def _rest(seen: Floats, steady: float, full: float) -> float:
    """Return when one display comes to what it rests at; infinite if not in this time."""
    if isinf(steady):
        return _crossing(seen, full) if seen[-1] > full else inf
    moving = np.flatnonzero(np.abs(seen - steady) > SAME * abs(steady))
    if not moving.size:
        return TIMES[0]
    return inf if moving[-1] == len(TIMES) - 1 else TIMES[moving[-1] + 1]


def _crossing(seen: Floats, full: float) -> float:
    """Return when a display goes over the scale for good."""
    under = np.flatnonzero(seen <= full)
    if not under.size:
        return TIMES[0]
    last = int(under[-1])
    ends = slice(last, last + 2)
    return float(np.interp(full, seen[ends], TIMES[ends]))


def _stores(table: Table, pairs: Ints, after: float) -> tuple[tuple[str, ...], ...]:
    """Return for all readings the capacitors without which they would show otherwise.

    Told by a rough look, the largest first; only for the readings asked for.
    """
    found: list[tuple[str, ...]] = [() for _ in table.pairs]
    if not pairs.size:
        return tuple(found)
    circuit = table.usual.board.circuit
    soon = one_step(circuit, after)
    nodes = nodes_of(circuit, [table.pairs[pair] for pair in pairs])
    seen = table.shown_by(soon, nodes).values
    for owner in _largest(circuit):
        other = table.shown_by(without(soon, [owner]), nodes).values
        with np.errstate(invalid="ignore"):
            same = (other == seen) | (np.abs(other - seen) <= SAME * np.abs(seen))
        for pair in pairs[~same]:
            found[pair] = (*found[pair], owner)
    return tuple(found)


def _largest(circuit: Circuit) -> list[str]:
    """Return the owners of the largest capacitances, largest first."""
    farads = circuit.column("Store.farads")
    owners = [one.owner for one in circuit.of(Store)]
    order = np.argsort(-farads, kind="stable")[:MOST_STORES]
    return list(dict.fromkeys(owners[k] for k in order))
