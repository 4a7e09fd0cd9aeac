"""How far a healthy board's display may lie from the typical one.

Two widths. The window holds 99.7 % of healthy boards: the reading is linearised once
in every independent variable (adjoint solve), the quantile of the sum tells how far
the board as a whole goes, and the most likely board that goes so far is solved again,
so that the bend of the junctions is in the answer. The worst case has every part at
the limit that its sign points to. Where the straight line does not hold, boards are
drawn and solved instead. The meter's own accuracy comes last.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.meter.moved import SHARE, Bench, drawn, edges_of
from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.spread import quantile, spread_of
from tracegraph.stage.reading import Mode

MARGIN = 1.04  # for what bends beyond the board at the edge


class Windows(NamedTuple):
    """Windows of readings, one a row, in SI units of the display.

    Attributes:
        typical: Display of the typical board on this scale, its limit disregarded.
        low: Least display of 99.7 % of healthy boards, meter accuracy included.
        high: Greatest likewise; not above the scale's limit.
        worst_low: Least display with every part at its limit.
        worst_high: Greatest likewise.
        opens: Whether some healthy boards show OL.
    """

    typical: Floats
    low: Floats
    high: Floats
    worst_low: Floats
    worst_high: Floats
    opens: NDArray[np.bool_]


def windows(
    circuit: Circuit,
    pairs: Ints,
    mode: Mode,
    profile: Profile,
    scale: Scale,
    *,
    rough: bool = False,
) -> Windows:
    """Return the windows of readings that a typical board shows on this scale.

    Args:
        circuit: The section, compiled cold.
        pairs: Node indices of plus and minus, (readings, 2).
        mode: OHMS, DIODE or BEEP.
        profile: The meter.
        scale: The scale that the meter settles on for a typical board.
        rough: Whether the straight line will do: for ohms through a junction, whose
            reading is not promised anyway.
    """
    bench = Bench(circuit, spread_of(circuit), pairs, mode, profile, scale)
    solved, nodes, typical = bench.solve()
    shown = np.isfinite(typical)
    if not shown.any():
        return _open(len(pairs))
    if not shown.all():
        some = windows(circuit, pairs[shown], mode, profile, scale, rough=rough)
        return _among_open(some, shown)
    effect = bench.effect(solved, nodes)
    reaches = np.stack(quantile(effect, SHARE))
    furthest = np.abs(effect).sum(axis=2) * np.array([[-1.0], [1.0]])
    if rough:
        return _finished(bench, typical, typical + reaches, typical + furthest)
    toward = np.sign(effect.sum(axis=0))
    corners = bench.spread.values(np.concatenate([-toward, toward]))
    both = bench.take(np.tile(np.arange(len(pairs)), 2))
    worst = both.solve(corners, np.tile(nodes, (2, 1)))[2].reshape(2, -1)
    edges = edges_of(bench, nodes, effect, reaches)
    edges = typical + MARGIN * (edges - typical)
    rows = np.flatnonzero(np.isnan(edges).any(axis=0))
    if rows.size:
        edges[:, rows], ends = drawn(bench.take(rows), nodes[rows])
        worst[0, rows] = np.fmin(worst[0, rows], ends[0])
        worst[1, rows] = np.fmax(worst[1, rows], ends[1])
    return _finished(bench, typical, edges, worst)


def _finished(bench: Bench, typical: Floats, edges: Floats, worst: Floats) -> Windows:
    typical, edges, worst = (bench.display(x) for x in (typical, edges, worst))
    found = with_meter(typical, edges, worst, bench.scale)
    if bench.straight:
        return found
    low, worst_low = np.maximum(found.low, 0.0), np.maximum(found.worst_low, 0.0)
    return found._replace(low=low, worst_low=worst_low)


def _open(count: int) -> Windows:
    """Return the windows of readings that show OL for good."""
    endless = np.full(count, np.inf)
    return Windows(
        endless, endless, endless, endless, endless, np.ones(count, np.bool_)
    )


def _among_open(some: Windows, shown: NDArray[np.bool_]) -> Windows:
    """Return the windows of some readings among others that show OL for good."""
    whole = [table.copy() for table in _open(len(shown))]
    for table, part in zip(whole, some, strict=True):
        table[shown] = part
    return Windows._make(whole)


def with_meter(typical: Floats, edges: Floats, worst: Floats, scale: Scale) -> Windows:
    """Return windows with the meter's accuracy added, cut off at the scale's limit.

    Args:
        typical: Display of the typical board; it stays inside its window.
        edges: Displays at both edges of the window, (2, readings).
        worst: Displays with every part at its limit, (2, readings).
        scale: The scale.
    """
    low, high = np.fmin(edges.min(axis=0), typical), np.fmax(edges.max(axis=0), typical)
    worst_low = np.fmin(worst.min(axis=0), low)
    worst_high = np.fmax(worst.max(axis=0), high)

    margin, digits = scale.accuracy, scale.digits * scale.step

    def below(edge: Floats) -> Floats:
        return edge * (1 - np.sign(edge) * margin) - digits

    def above(edge: Floats) -> Floats:
        return edge * (1 + np.sign(edge) * margin) + digits

    return Windows(
        typical,
        np.minimum(below(low), typical),
        np.minimum(np.maximum(above(high), typical), scale.full),
        below(worst_low),
        np.minimum(above(worst_high), scale.full),
        high > scale.full,
    )
