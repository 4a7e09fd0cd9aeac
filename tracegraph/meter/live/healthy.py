"""How far the levels of healthy boards lie apart: boards drawn and solved, all nets at once."""

import numpy as np

from tracegraph.meter.live.standing import Standing
from tracegraph.meter.moved import tail
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import powered
from tracegraph.network.detours import settled
from tracegraph.network.newton import Problem, State, Truths, newton
from tracegraph.network.spread import spread_of

DRAWS = 240
MARGIN = 1.08  # for what the tail of the boards drawn leaves out
SEED = 12
ENOUGH = 0.95  # of the drawn boards must have a level
ROUNDS = 25  # that most boards need fewer than
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
    spread = spread_of(found.circuit)
    values = spread.values(spread.draw(np.random.default_rng(SEED), DRAWS))
    nodes, good = boards(found.circuit, values, found.nodes)
    if good.mean() < ENOUGH:
        blank = np.full(len(ends), np.nan)
        return blank, blank
    kept = nodes[good]
    volts = np.sort(kept[:, ends[:, 0]] - kept[:, ends[:, 1]], axis=0).T
    edges = np.stack([-tail(-volts[:, ::-1]), tail(volts)])
    typical = found.nodes[ends[:, 0]] - found.nodes[ends[:, 1]]
    low, high = typical + MARGIN * (edges - typical)
    return low, high


def boards(circuit: Circuit, values: Floats, known: Floats) -> tuple[Floats, Truths]:
    """Return the levels of boards much like one that is known, and where they are found.

    At once for most. What leakage alone decides swings from board to board: those that
    are missed are solved with every net held to the known board by a gigaohm, which no
    net that has a level feels, and the last ones are led there step by step.

    Args:
        circuit: The section, its own values those of the board that is known.
        values: Parameters, one vector a board.
        known: Node voltages of the board that is known.
    """
    start = np.tile(known, (len(values), 1))
    with np.errstate(over="ignore", invalid="ignore"):
        nodes, _, good = powered(circuit, values, start, way=_briefly)
        for way in (_held, _led, _slowly):
            missed = np.flatnonzero(~good)
            if missed.size:
                nodes[missed], good[missed] = way(
                    circuit, values[missed], start[missed]
                )
    return nodes, good


def _briefly(problem: Problem, start: Floats) -> State:
    return newton(problem, start, ROUNDS)


def _held(circuit: Circuit, values: Floats, start: Floats) -> tuple[Floats, Truths]:
    """Return boards with every net held to the known one by a gigaohm."""

    def way(problem: Problem, past: Floats) -> State:
        return newton(problem.held(np.full(len(past), HELD), past), past)

    nodes, _, good = powered(circuit, values, start, way=way)
    return nodes, good


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
