"""Boards moved away from the typical one, and what the meter shows of them.

The window's edge is looked for where it is: at the board that most likely shows so
much or so little. What the variables do is taken anew there (adjoint solve), until the
straight line from that board tells the edge that the board itself shows.
"""

from typing import NamedTuple

import numpy as np

from tracegraph.meter.instrument import seen_through, slope
from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.adjoint import sensitivities
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Solution
from tracegraph.network.spread import Spread, quantile
from tracegraph.stage.reading import Mode

SHARE = 0.997
CLOSE = 0.05  # part of the reach by which the straight line may miss the edge
ROUNDS = 4
LIMIT = 80.0  # of a logarithm
DRAWS = 300
TAIL = 10  # greatest draws from which the edge is told
SEED = 20


class Bench(NamedTuple):
    """What does not change from one draw of the board to the next.

    Resistances are worked on as their logarithms: a junction's current is exponential
    in its drop, and no tolerance makes ohms negative.
    """

    circuit: Circuit
    spread: Spread
    pairs: Ints
    mode: Mode
    profile: Profile
    scale: Scale

    def take(self, rows: Ints) -> "Bench":
        """Return the bench with some of the pairs only."""
        return self._replace(pairs=self.pairs[rows])

    @property
    def least(self) -> float:
        """The least resistance that has a logarithm here: a tenth of a digit."""
        return self.scale.step / 10

    @property
    def straight(self) -> bool:
        """Whether displays are worked on as they are: volts, which may be negative."""
        return self.mode in {Mode.DIODE, Mode.VOLTS}

    def measure(self, display: Floats) -> Floats:
        """Return displays as they are worked on."""
        if self.straight:
            return display
        return np.log(np.maximum(display, self.least))

    def display(self, measure: Floats) -> Floats:
        """Return displays of what was worked on."""
        if self.straight:
            return measure
        return np.exp(np.clip(measure, -LIMIT, LIMIT))

    def digit(self, measure: Floats) -> Floats:
        """Return what a digit of the display is, as it is worked on."""
        step = np.full_like(measure, self.scale.step)
        return step if self.straight else step / self.display(measure)

    def solve(
        self, values: Floats | None = None, start: Floats | None = None
    ) -> tuple[Solution, Floats, Floats]:
        """Return the solved pairs on boards of these values, their nodes, what they show."""
        drive = self.scale.drive
        solved, nodes = solve_items(self.circuit, self.pairs, drive, values, start)
        shows = seen_through(solved, self.mode, self.profile)
        return solved, nodes, self.measure(shows)

    def effect(
        self, solved: Solution, nodes: Floats, values: Floats | None = None
    ) -> Floats:
        """Return what every variable does to the displays, under and over its value.

        (2, readings, variables), for a variable's whole half width.
        """
        drive, typical = self.scale.drive, self.spread.typical
        moved = sensitivities(self.circuit, self.pairs, drive, solved, nodes, values)
        steep = slope(solved.volts, solved.amps, self.mode, self.scale)
        if not self.straight:
            shows = seen_through(solved, self.mode, self.profile)
            with np.errstate(invalid="ignore"):  # OL moves by nothing
                steep = steep / np.maximum(shows, self.least)
        moved = moved * steep[:, None]
        if values is not None:  # by equal ratios: steeper where it is larger
            ratios = self.spread.rows[self.spread.geometric]
            moved[:, ratios] *= values[:, ratios] / typical[ratios]
        return np.stack([moved @ side for side in self.spread.slopes()])


class Moved(NamedTuple):
    """Boards that were moved, one a reading.

    Attributes:
        draws: How far every variable was moved.
        shows: What they show.
        effect: What every variable does to the display there.
    """

    draws: Floats
    shows: Floats
    effect: Floats

    @property
    def base(self) -> Floats:
        """What the straight line through these boards tells of the typical one."""
        return np.asarray(self.shows - (self.effect * self.draws).sum(axis=1))


def moved_boards(bench: Bench, nodes: Floats, draws: Floats) -> Moved:
    """Return what boards show on which every variable is moved so far, one a reading."""
    values = bench.spread.values(draws)
    solved, there, shows = bench.solve(values, nodes)
    sides = bench.effect(solved, there, values)
    return Moved(draws, shows, np.where(draws < 0, sides[0], sides[1]))


def edges_of(bench: Bench, nodes: Floats, effect: Floats, reaches: Floats) -> Floats:
    """Return both edges of the window of every reading; NaN where they can't be told.

    The boards that most likely show so much and so little are looked for, all at once;
    what the variables do is taken anew where they stand, until the straight line from
    there tells the edge that the board itself shows. Only boards that are not there
    yet are moved on.

    Args:
        bench: The readings.
        nodes: Their node voltages on the typical board.
        effect: What every variable does to them there.
        reaches: How far the window goes to either side there, (2, readings).
    """
    count = len(bench.pairs)
    every, sides = np.tile(np.arange(count), 2), np.repeat([0, 1], count)
    found, left = np.full(2 * count, np.nan), np.arange(2 * count)
    draws = _likeliest(effect[:, every], reaches.ravel())
    for _ in range(ROUNDS):
        side, rows = sides[left], every[left]
        board = moved_boards(bench.take(rows), nodes[rows], draws)
        ends = np.stack(quantile(board.effect, SHARE))
        reach = ends[side, np.arange(len(left))]
        told = board.base + reach
        right = np.abs(told - board.shows) <= CLOSE * np.abs(reach) + bench.digit(told)
        found[left[right]] = _further(board.shows, told, side)[right]
        left, effects = left[~right], board.effect[~right]
        if not left.size:
            break
        draws = _likeliest(np.stack([effects, effects]), reach[~right])
    return found.reshape(2, count)


def _further(shows: Floats, told: Floats, side: Ints) -> Floats:
    return np.where(side == 1, np.maximum(shows, told), np.minimum(shows, told))


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


def drawn(bench: Bench, nodes: Floats) -> tuple[Floats, Floats]:
    """Return window edges and extremes of readings from drawn boards."""
    count, spread = len(bench.pairs), bench.spread
    values = spread.values(spread.draw(np.random.default_rng(SEED), DRAWS))
    every = bench.take(np.repeat(np.arange(count), DRAWS))
    start = np.repeat(nodes, DRAWS, axis=0)
    _, _, shows = every.solve(np.tile(values, (count, 1)), start)
    seen = np.where(np.isnan(shows), np.inf, shows).reshape(count, DRAWS)
    ordered = np.sort(seen, axis=1)
    edges = np.stack([-tail(-ordered[:, ::-1]), tail(ordered)])
    return edges, np.stack([ordered[:, 0], ordered[:, -1]])


def tail(ordered: Floats) -> Floats:
    """Return the upper edge of drawn displays, sorted: beyond all that were drawn.

    The excess over the tenth greatest is taken as exponential, with the mean that was
    drawn: for a bounded display this goes a little too far, never too short.
    """
    tenth = ordered[:, -TAIL]
    with np.errstate(invalid="ignore"):
        excess = (ordered[:, -TAIL:] - tenth[:, None]).mean(axis=1)
    reach = np.log(TAIL / (ordered.shape[1] * (1 - SHARE) / 2))
    return np.asarray(np.where(np.isfinite(excess), tenth + reach * excess, np.inf))
