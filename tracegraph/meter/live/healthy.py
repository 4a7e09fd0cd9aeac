"""How far the levels of healthy boards lie apart: boards drawn and solved, all nets at once."""

import numpy as np

from tracegraph.meter.live.standing import Standing
from tracegraph.meter.moved import tail
from tracegraph.network.circuit import Floats, Ints
from tracegraph.network.dense import powered
from tracegraph.network.detours import nearby
from tracegraph.network.spread import spread_of

DRAWS = 240
MARGIN = 1.08  # for what the tail of the boards drawn leaves out
SEED = 12
ENOUGH = 0.95  # of the drawn boards must have a level


def healthy(found: Standing, ends: Ints) -> tuple[Floats, Floats]:
    """Return the least and greatest level of 99.7 % of healthy boards, without a meter.

    Args:
        found: How the typical board stands.
        ends: Nodes of the net and of what it is measured against, (levels, 2).

    Returns:
        One of each a level; NaN where too many of the boards drawn found no level.
    """
    circuit = found.circuit
    spread = spread_of(circuit)
    values = spread.values(spread.draw(np.random.default_rng(SEED), DRAWS))
    start = np.tile(found.nodes, (DRAWS, 1))
    with np.errstate(over="ignore", invalid="ignore"):
        nodes, _, good = powered(circuit, values, start, way=nearby)
    if good.mean() < ENOUGH:
        blank = np.full(len(ends), np.nan)
        return blank, blank
    kept = nodes[good]
    volts = np.sort(kept[:, ends[:, 0]] - kept[:, ends[:, 1]], axis=0).T
    ends_of = np.stack([-tail(-volts[:, ::-1]), tail(volts)])
    typical = found.nodes[ends[:, 0]] - found.nodes[ends[:, 1]]
    low, high = typical + MARGIN * (ends_of - typical)
    return low, high
