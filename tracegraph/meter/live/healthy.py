"""How far the levels of healthy boards lie apart: boards drawn and solved, all nets at once."""

from typing import NamedTuple

import numpy as np

from tracegraph.meter.live.standing import Standing
from tracegraph.meter.moved import tail
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import powered
from tracegraph.network.detours import settled
from tracegraph.network.newton import Problem, State, Truths, newton
from tracegraph.network.spread import spread_of

DRAWS = 240
MORE = 480  # where a few stand apart
FAR = 1.5  # times as far as nineteen of twenty
LEAST = 0.02  # volts
MARGIN = 1.08  # for what the tail of the boards drawn leaves out
SEED = 12
SIGMAS = 3.3  # of the spread, beyond which one board in a thousand lies
LINEAR = 8.0  # e-folds from its middle within which an output holds itself
ENOUGH = 0.95  # of the drawn boards must have a level
HELD = 1e-9  # siemens
STEPS = (0.25, 0.5, 0.75, 1.0)  # of the way from the typical board to a drawn one


def healthy(found: Standing, ends: Ints) -> tuple[Floats, Floats]:
    """Return the least and greatest level of 99.7 % of healthy boards, without a meter.

    Args:
        found: How the typical board stands.
        ends: Nodes of the net and of what it is measured against, (levels, 2).

    Returns:
        One of each a level; NaN where too many of the boards drawn found no level.
    """
    drawn = _drawn(found, DRAWS, SEED)
    if drawn is not None and (_strays(drawn.over(ends)) or _nearly_turns(found, drawn)):
        drawn = drawn.and_more(_drawn(found, MORE, SEED + 1))
    if drawn is None:
        blank = np.full(len(ends), np.nan)
        return blank, blank
    volts = np.sort(drawn.over(ends), axis=1)
    least, most = -tail(-volts[:, ::-1]), tail(volts)
    edges = np.stack([np.fmin(least, volts[:, 0]), np.fmax(most, volts[:, -1])])
    typical = found.nodes[ends[:, 0]] - found.nodes[ends[:, 1]]
    low, high = typical + MARGIN * (edges - typical)
    return low, high


class _Drawn(NamedTuple):
    """Boards that were drawn: their parameters and node voltages, one row a board."""

    values: Floats
    nodes: Floats

    def over(self, ends: Ints) -> Floats:
        """Return the levels of nodes over others, (levels, boards)."""
        return np.asarray((self.nodes[:, ends[:, 0]] - self.nodes[:, ends[:, 1]]).T)

    def and_more(self, more: "_Drawn | None") -> "_Drawn":
        """Return these boards and more of them."""
        if more is None:
            return self
        return _Drawn(*(np.concatenate(two) for two in zip(self, more, strict=True)))


def _drawn(found: Standing, count: int, seed: int) -> _Drawn | None:
    """Return drawn boards that have a level; None where too few have."""
    spread = spread_of(found.circuit)
    values = spread.values(spread.draw(np.random.default_rng(seed), count))
    nodes, good = boards(found.circuit, values, found.nodes)
    return _Drawn(values[good], nodes[good]) if good.mean() >= ENOUGH else None


def _strays(volts: Floats) -> bool:
    """Return whether a few boards stand far from all others.

    A transistor that just saturates on most boards and does not on the weakest: of such
    boards more must be seen to tell how many there are.
    """
    low, near_low, middle, near_high, high = np.quantile(
        volts, (0.0, 0.05, 0.5, 0.95, 1.0), axis=1
    )
    up = (high - near_high) > FAR * (near_high - middle) + LEAST
    down = (near_low - low) > FAR * (middle - near_low) + LEAST
    return bool((up | down).any())


def _nearly_turns(found: Standing, drawn: _Drawn) -> bool:
    """Return whether an output comes so near to turning over that some boards' will."""
    circuit = found.circuit
    ends = circuit.ends["Follower"]
    if not len(ends):
        return False
    threshold = circuit.column("Follower.threshold", drawn.values)
    over = drawn.over(ends[:, 3:5]).T - threshold
    middle, spread = over.mean(axis=0), over.std(axis=0)
    linear = np.abs(middle) * circuit.fixed["Follower.gain"] < LINEAR
    return bool(((np.abs(middle) < SIGMAS * spread) & ~linear).any())


def boards(circuit: Circuit, values: Floats, known: Floats) -> tuple[Floats, Truths]:
    """Return the levels of boards much like one that is known, and where they are found.

    At once for most, with every net held to the known board by a gigaohm, which no net
    that has a level feels: what leakage alone decides swings from board to board. Those
    that are missed are led there step by step.

    Args:
        circuit: The section, its own values those of the board that is known.
        values: Parameters, one vector a board.
        known: Node voltages of the board that is known.
    """
    start = np.tile(known, (len(values), 1))
    with np.errstate(over="ignore", invalid="ignore"):
        nodes, _, good = powered(circuit, values, start, way=_held)
        for way in (_led, _slowly):
            missed = np.flatnonzero(~good)
            if not missed.size:
                break
            nodes[missed], good[missed] = way(circuit, values[missed], start[missed])
    return nodes, good


def _held(problem: Problem, past: Floats) -> State:
    """Solve with every net held to where it was on the known board."""
    return newton(problem.held(np.full(len(past), HELD), past), past)


def _slowly(circuit: Circuit, values: Floats, start: Floats) -> tuple[Floats, Truths]:
    """Return boards whose nets move only slowly to where they rest."""
    nodes, _, good = powered(circuit, values, start, way=settled)
    return nodes, good


def _led(circuit: Circuit, values: Floats, start: Floats) -> tuple[Floats, Truths]:
    """Return boards reached in steps from the one that is known."""
    nodes, good = start, np.zeros(len(start), np.bool_)
    for share in STEPS:
        there = circuit.values + share * (values - circuit.values)
        found, _, good = powered(circuit, there, nodes, way=newton)
        nodes = np.where(good[:, None], found, nodes)
    return nodes, good
