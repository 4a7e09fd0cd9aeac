"""How far the same reading may differ between two healthy sisters.

Two channels, or two boards of one make, share the ambient and the types of their parts:
what is left is the spread from part to part, once for either. Its sum is taken straight
from the typical board, and its 99.7 % quantile is the window.
"""

from collections.abc import Sequence
from math import inf, isfinite
from typing import NamedTuple

import numpy as np

from tracegraph.meter.moved import SHARE, Bench
from tracegraph.meter.profile import Profile
from tracegraph.meter.unknowns.boards import Boards
from tracegraph.meter.unknowns.every import unknowns
from tracegraph.meter.unknowns.table import Table, nodes_of
from tracegraph.network.quantile import quantile
from tracegraph.network.spread import spread_of
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

DIGITS = 2  # of the last place on either display, beside its accuracy: common practice


class Apart(NamedTuple):
    """How far the second display of two healthy sisters may lie from the first.

    Attributes:
        low: Least ratio to it, or least volts above it in diode test.
        high: Greatest likewise.
        typical: What the typical board shows in SI units; infinite for OL.
        junction: Whether a junction decides the reading.
        unsure: Whether something unknown moves it: the window is not to be relied on.
    """

    low: float
    high: float
    typical: float
    junction: bool
    unsure: bool


def sisters_apart(
    stage: Stage, pairs: Sequence[tuple[str, str]], mode: Mode, profile: Profile
) -> tuple[Apart, ...]:
    """Return for each pair how far two healthy sisters may lie apart.

    Args:
        stage: The section, as it stands on the bench.
        pairs: Nets of red and black.
        mode: OHMS or DIODE.
        profile: The meter; it must have the mode.
    """
    if not pairs:
        return ()
    table = Table(Boards(stage, unknowns(stage)), pairs, mode, profile)
    shown, circuit = table.usual.shown, table.usual.board.circuit
    nodes, spread = nodes_of(circuit, pairs), spread_of(circuit)
    windows = np.array([[0.0, inf] if mode is Mode.OHMS else [-inf, inf]] * len(pairs))
    for index, scale in enumerate(profile.scales(mode)):
        rows = np.flatnonzero((shown.scale == index) & np.isfinite(shown.values))
        if rows.size:
            bench = Bench(circuit, spread, nodes[rows], mode, profile, scale)
            windows[rows] = _windows(bench)
    return tuple(
        Apart(
            float(windows[k, 0]),
            float(windows[k, 1]),
            float(shown.values[k]),
            bool(shown.bent[k]),
            bool(table.moved[:, k].any()),
        )
        for k in range(len(pairs))
    )


def _windows(bench: Bench) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return low and high for readings that settle on one scale, (readings, 2)."""
    solved, nodes, measure = bench.solve()
    own = bench.effect(solved, nodes)[:, :, ~bench.spread.shared]
    both = np.concatenate([own, -own], axis=2)
    low, high = quantile(both, SHARE)
    digits = DIGITS * bench.digit(measure)
    edges = np.stack([low - digits, high + digits], axis=1)
    return edges if bench.mode is Mode.DIODE else np.exp(edges)


def ratio_of_tolerance(low: float | None, high: float | None) -> tuple[float, float]:
    """Return how far apart two readings of one window may lie, as ratios.

    For capacitance: no sum of spreads, but the window's own ends against each other.
    """
    if low is None or high is None or not (0 < low <= high and isfinite(high)):
        return 0.0, inf
    return low / high, high / low
