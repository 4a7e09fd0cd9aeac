"""The treadmill's board under power: boards drawn, brought to rest, and read in volts."""

from collections.abc import Iterable, Sequence

import numpy as np

from tests.diagnose.simulated import HANDHELD
from tracegraph.network.circuit import compile_stage
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.network.spread import spread_of
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change
from tracegraph.stage.reading import Condition, Mode, Reading
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state

VOLTMETER = Drive(0.0, HANDHELD.volts.ohms, 0.0)
Live = tuple[str, str, str]


class LiveBench:
    """One board under power; the same parts in every state, solved by the plain means."""

    def __init__(
        self, stage: Stage, changes: Sequence[Change] = (), *, seed: int = 1
    ) -> None:
        """Draw a board that is wrong in these ways."""
        self.board = apply(stage, changes, keep_names=True)
        self.rng = np.random.default_rng(seed)
        self.drawn: dict[str, float] = {}
        self.gain = 1 + HANDHELD.volts.accuracy * self.rng.uniform(-1, 1)

    def read(self, red: str, black: str, state: str) -> Reading:
        """Return what a voltmeter of 10 megohm shows in a state."""
        circuit = compile_stage(in_state(self.board, state), state)
        spread = spread_of(circuit)
        for name in spread.names:
            self.drawn.setdefault(name, self.rng.uniform(-1, 1))
        draw = np.array([[self.drawn[name] for name in spread.names]])
        ends = [circuit.nodes[self.board.net(one) or one] for one in (red, black)]
        solved, _ = solve_items(
            circuit, np.array([ends]), VOLTMETER, spread.values(draw)
        )
        return level(red, black, float(solved.volts[0]) * self.gain, state)

    def log(self, asked: Iterable[Live]) -> list[Reading]:
        """Return several readings, one after the other."""
        return [self.read(*one) for one in asked]


def level(red: str, black: str, volts: float, state: str) -> Reading:
    """Return a reading in volts, rounded as a display of 6000 counts has it."""
    scales = HANDHELD.scales(Mode.VOLTS)
    step = next(one.step for one in scales if abs(volts) <= one.full)
    shown = round(volts / step) * step
    bench = Condition(power=state)
    return Reading(red, black, Mode.VOLTS, shown, step, condition=bench)
