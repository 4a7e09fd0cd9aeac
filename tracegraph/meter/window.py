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

from tracegraph.meter.instrument import displayed, seen_through, slope
from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.adjoint import sensitivities
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.spread import Spread, quantile, spread_of
from tracegraph.stage.reading import Mode

SHARE = 0.997
STRAIGHT = 0.35  # part of the reach by which the bend may differ from the straight line
DRAWS = 300
TAIL = 10  # greatest draws from which the edge is told
SEED = 20


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


class _Bench(NamedTuple):
    """What does not change from one draw of the board to the next."""

    circuit: Circuit
    pairs: Ints
    mode: Mode
    profile: Profile
    scale: Scale

    def shows(self, which: Ints, values: Floats, start: Floats | None = None) -> Floats:
        """Return displays of some pairs on boards of these parameter values."""
        drive = self.scale.drive
        solved, _ = solve_items(self.circuit, self.pairs[which], drive, values, start)
        seen = displayed(solved.volts, solved.amps, self.mode, self.profile)
        seen[solved.open] = np.inf
        return seen


def windows(
    circuit: Circuit,
    pairs: Ints,
    mode: Mode,
    profile: Profile,
    scale: Scale,
    *,
    draw: bool = True,
) -> Windows:
    """Return the windows of readings that a typical board shows on this scale.

    Args:
        circuit: The section, compiled cold.
        pairs: Node indices of plus and minus, (readings, 2).
        mode: OHMS, DIODE or BEEP.
        profile: The meter.
        scale: The scale that the meter settles on for a typical board.
        draw: Whether boards are drawn where the straight line does not hold; else the
            corners are the window there.
    """
    solved, nodes = solve_items(circuit, pairs, scale.drive)
    typical = seen_through(solved, mode, profile)
    shown = np.isfinite(typical)
    if not shown.any():
        return _open(len(pairs))
    if not shown.all():
        some = windows(circuit, pairs[shown], mode, profile, scale, draw=draw)
        return _among_open(some, shown)
    bench = _Bench(circuit, pairs, mode, profile, scale)
    spread = spread_of(circuit)
    by_value = sensitivities(circuit, pairs, scale.drive, solved, nodes)
    steer = slope(solved.volts, solved.amps, mode, scale)[:, None]
    effect = np.stack([steer * (by_value @ side) for side in spread.slopes()])
    reaches = np.stack(quantile(effect, SHARE))
    furthest = np.abs(effect).sum(axis=2) * np.array([[-1.0], [1.0]])
    edges, worst = _moved_boards(bench, spread, nodes, effect, reaches)
    bent = _bends(edges - typical, reaches, scale) | _bends(
        worst - typical, furthest, scale
    )
    rows = np.flatnonzero(bent.any(axis=0))
    if rows.size and draw:
        edges[:, rows], drawn = _drawn(bench, spread, nodes, rows)
        worst[0, rows] = np.fmin(worst[0, rows], drawn[0])
        worst[1, rows] = np.fmax(worst[1, rows], drawn[1])
    elif rows.size:
        edges[:, rows] = worst[:, rows]
    return with_meter(typical, edges, worst, scale)


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


def _bends(moved: Floats, straight: Floats, scale: Scale) -> NDArray[np.bool_]:
    """Return where a display does not move as the straight line says."""
    allowed = STRAIGHT * np.abs(straight) + scale.step
    return np.asarray(~(np.abs(moved - straight) <= allowed))


def _moved_boards(
    bench: _Bench, spread: Spread, nodes: Floats, effect: Floats, reaches: Floats
) -> tuple[Floats, Floats]:
    """Return displays of the likeliest boards at both edges, and at both corners.

    At a corner every variable is at the limit that its sign points to.
    """
    toward = np.sign(effect[0] + effect[1])
    draws = [*(_likeliest(effect, reach) for reach in reaches), -toward, toward]
    every = np.tile(np.arange(len(bench.pairs)), len(draws))
    values = spread.values(np.concatenate(draws))
    shows = bench.shows(every, values, nodes[every]).reshape(len(draws), -1)
    return shows[:2], shows[2:]


def _likeliest(effect: Floats, reach: Floats) -> Floats:
    """Return the nearest board, in variables, that moves each reading by its reach.

    Every variable goes in proportion to its effect, none beyond its limit; the
    multiplier is found by bisection.
    """
    heading = np.sign(effect.sum(axis=0)) * np.sign(reach)[:, None]
    size = np.abs(np.where(heading < 0, effect[0], effect[1]))
    top = size.max(axis=1, keepdims=True, initial=0.0)
    unit = size / np.where(top > 0, top, 1.0)
    low, high = np.zeros((len(reach), 1)), np.full((len(reach), 1), 1e4)
    for _ in range(50):
        middle = (low + high) / 2
        gone = (np.minimum(middle * unit, 1.0) * size).sum(axis=1, keepdims=True)
        enough = gone >= np.abs(reach)[:, None]
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return np.asarray(heading * np.minimum(high * unit, 1.0))


def _drawn(
    bench: _Bench, spread: Spread, nodes: Floats, rows: Ints
) -> tuple[Floats, Floats]:
    """Return window edges and extremes of readings from drawn boards."""
    draws = spread.draw(np.random.default_rng(SEED), DRAWS)
    values = spread.values(draws)
    which = np.repeat(rows, DRAWS)
    every = np.tile(values, (len(rows), 1))
    seen = bench.shows(which, every, nodes[which]).reshape(len(rows), DRAWS)
    seen = np.where(np.isnan(seen), np.inf, seen)
    ordered = np.sort(seen, axis=1)
    edges = np.stack([-_tail(-ordered[:, ::-1]), _tail(ordered)])
    return edges, np.stack([ordered[:, 0], ordered[:, -1]])


def _tail(ordered: Floats) -> Floats:
    """Return the upper edge of drawn displays, sorted: beyond all that were drawn.

    The excess over the tenth greatest is taken as exponential, with the mean that was
    drawn: for a bounded display this goes a little too far, never too short.
    """
    tenth = ordered[:, -TAIL]
    with np.errstate(invalid="ignore"):
        excess = (ordered[:, -TAIL:] - tenth[:, None]).mean(axis=1)
    reach = np.log(TAIL / (ordered.shape[1] * (1 - SHARE) / 2))
    return np.asarray(np.where(np.isfinite(excess), tenth + reach * excess, np.inf))


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
