"""Windows hold healthy boards: never too narrow, never much too wide."""

from pathlib import Path

import numpy as np
import pytest

from tests.levels.told import METER
from tracegraph.display import UNSEEN
from tracegraph.meter.live.healthy import boards
from tracegraph.meter.live.level import live
from tracegraph.network.spread import spread_of
from tracegraph.notation.source import from_bytes
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode

EXAMPLES = Path(__file__).parents[2] / "examples"
BOARDS = 1500


@pytest.mark.parametrize(
    ("name", "state"),
    [
        ("treadmill-gate-drive", "run"),
        ("treadmill-gate-drive", "stop"),
        ("airconditioner-boost-stage", "over"),  # one in a hundred does not trip
    ],
)
def test_fresh_healthy_boards_lie_in_their_windows(name: str, state: str) -> None:
    path = EXAMPLES / f"{name}.trace"
    found = live(read(from_bytes(path.name, path.read_bytes())), state, METER)
    board = found.found[0]
    spread = spread_of(board.circuit)
    values = spread.values(spread.draw(np.random.default_rng(99), BOARDS))
    nodes, good = boards(board.circuit, values, board.nodes)
    assert good.mean() > 0.99
    for one in found.levels:
        if one.floats or one.net == one.ground:
            continue
        ends = [board.circuit.nodes[net] for net in (one.net, one.ground)]
        volts = (nodes[good, ends[0]] - nodes[good, ends[1]]) * (
            (one.shown or 0.0) / one.volts if one.volts else 1.0
        )
        shown = np.where(np.abs(volts) < UNSEEN, 0.0, volts)
        inside = ((one.low <= shown) & (shown <= one.high)).mean()
        assert inside >= 0.995, one.net
        low, high = np.quantile(volts, [0.0015, 0.9985])
        scales = METER.scales(Mode.VOLTS)
        scale = next(s for s in scales if abs(one.high) <= s.full)
        meter = 2 * scale.error(one.high)
        assert one.high - one.low <= 1.4 * (high - low) + meter + 0.02, one.net


def test_levels_are_plain_numbers() -> None:
    """A number of numpy's would tell its type where it is printed as it is."""
    path = EXAMPLES / "press-bus-trip.trace"
    stage = read(from_bytes(path.name, path.read_bytes()))
    found = live(stage, stage.states[0].name, METER)
    figures = [
        figure
        for one in (*found.levels, *found.own)
        for figure in (one.volts, one.shown, one.low, one.high, one.ohms, *one.others)
    ]
    assert {type(one) for one in figures} <= {float, type(None)}
