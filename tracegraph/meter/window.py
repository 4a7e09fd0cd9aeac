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

from tracegraph.meter.instrument import seen_through, slope
from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.adjoint import sensitivities
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Solution
from tracegraph.network.spread import Spread, quantile, spread_of
from tracegraph.stage.reading import Mode

SHARE = 0.997
MARGIN = 1.04  # for what bends beyond the board at the edge
CLOSE = 0.05  # part of the reach by which the straight line may miss the edge
ROUNDS = 4
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
    spread: Spread
    pairs: Ints
    mode: Mode
    profile: Profile
    scale: Scale

    def take(self, rows: Ints) -> "_Bench":
        """Return the bench with some of the pairs only."""
        return self._replace(pairs=self.pairs[rows])

    def solve(
        self, values: Floats | None = None, start: Floats | None = None
    ) -> tuple[Solution, Floats, Floats]:
        """Return the solved pairs on boards of these values: nodes, and displays."""
        drive = self.scale.drive
        solved, nodes = solve_items(self.circuit, self.pairs, drive, values, start)
        return solved, nodes, seen_through(solved, self.mode, self.profile)

    def effect(
        self, solved: Solution, nodes: Floats, values: Floats | None = None
    ) -> Floats:
        """Return what every variable does to the displays, under and over its value.

        (2, readings, variables), display units for a variable's whole half width.
        """
        drive, typical = self.scale.drive, self.spread.typical
        moved = sensitivities(self.circuit, self.pairs, drive, solved, nodes, values)
        moved = moved * slope(solved.volts, solved.amps, self.mode, self.scale)[:, None]
        if (
            values is not None
        ):  # what goes by equal ratios is steeper where it is larger
            ratios = self.spread.rows[self.spread.geometric]
            moved[:, ratios] *= values[:, ratios] / typical[ratios]
        return np.stack([moved @ side for side in self.spread.slopes()])


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
        rough: Whether the straight line will do, taken in ratios: for ohms through a
            junction, whose current is exponential and whose reading is not promised.
    """
    bench = _Bench(circuit, spread_of(circuit), pairs, mode, profile, scale)
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
        base = np.maximum(np.abs(typical), scale.step)
        edges, worst = (
            base * np.exp(np.clip(part / base, -50, 50)) for part in (reaches, furthest)
        )
        return with_meter(typical, edges, worst, scale)
    toward = np.sign(effect.sum(axis=0))
    corners = bench.spread.values(np.concatenate([-toward, toward]))
    both = bench.take(np.tile(np.arange(len(pairs)), 2))
    worst = both.solve(corners, np.tile(nodes, (2, 1)))[2].reshape(2, -1)
    edges = np.stack([_edge(bench, nodes, effect, side) for side in (0, 1)])
    edges = typical + MARGIN * (edges - typical)
    rows = np.flatnonzero(np.isnan(edges).any(axis=0))
    if rows.size:
        edges[:, rows], drawn = _drawn(bench.take(rows), nodes[rows])
        worst[0, rows] = np.fmin(worst[0, rows], drawn[0])
        worst[1, rows] = np.fmax(worst[1, rows], drawn[1])
    return with_meter(typical, edges, worst, scale)


class _Moved(NamedTuple):
    """Boards that were moved, one a reading.

    Attributes:
        draws: How far every variable was moved.
        shows: What they show.
        effect: What every variable does to the display there.
    """

    draws: Floats
    shows: Floats
    effect: Floats

    def tells(self, side: int) -> Floats:
        """Return the window's edge as the straight line through these boards tells it."""
        base = self.shows - (self.effect * self.draws).sum(axis=1)
        return np.asarray(base + quantile(self.effect, SHARE)[side])


def _moved(bench: _Bench, nodes: Floats, draws: Floats) -> _Moved:
    values = bench.spread.values(draws)
    solved, there, shows = bench.solve(values, nodes)
    sides = bench.effect(solved, there, values)
    return _Moved(draws, shows, np.where(draws < 0, sides[0], sides[1]))


def _edge(bench: _Bench, nodes: Floats, effect: Floats, side: int) -> Floats:
    """Return one edge of the window of every reading; NaN where it can't be told so.

    The board that most likely shows so much or little is looked for; what the
    variables do is taken anew where it stands, until the straight line from there
    tells the edge that the board itself shows.
    """
    draws = _likeliest(effect, quantile(effect, SHARE)[side])
    found = np.full(len(draws), np.nan)
    for _ in range(ROUNDS):
        board = _moved(bench, nodes, draws)
        told, reach = board.tells(side), quantile(board.effect, SHARE)[side]
        right = np.abs(told - board.shows) <= CLOSE * np.abs(reach) + bench.scale.step
        further = _further(board.shows, told, side)
        found = np.where(np.isnan(found) & right, further, found)
        if not np.isnan(found).any():
            break
        draws = _likeliest(np.stack([board.effect, board.effect]), reach)
    return found


def _further(shows: Floats, told: Floats, side: int) -> Floats:
    return np.maximum(shows, told) if side else np.minimum(shows, told)


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


def _drawn(bench: _Bench, nodes: Floats) -> tuple[Floats, Floats]:
    """Return window edges and extremes of readings from drawn boards."""
    count, spread = len(bench.pairs), bench.spread
    values = spread.values(spread.draw(np.random.default_rng(SEED), DRAWS))
    every = bench.take(np.repeat(np.arange(count), DRAWS))
    start = np.repeat(nodes, DRAWS, axis=0)
    _, _, shows = every.solve(np.tile(values, (count, 1)), start)
    seen = np.where(np.isnan(shows), np.inf, shows).reshape(count, DRAWS)
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
