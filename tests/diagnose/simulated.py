"""A bench in numbers: boards drawn within their tolerances, read with a meter's errors.

A meter's accuracy is one error for each of its ranges, its digits one for each reading;
what is shown is rounded to the display's step.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from tracegraph.meter.instrument import show
from tracegraph.meter.profile import Profile, Scale
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.network.circuit import Circuit, Floats, compile_stage
from tracegraph.network.spread import spread_of
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change
from tracegraph.stage.reading import Block, Condition, Mode, Reading, Shown
from tracegraph.stage.stage import Stage

HANDHELD = find_meter(DEFAULT)
Probed = tuple[str, str, Mode]


class Bench:
    """One board on the bench, and one meter."""

    def __init__(
        self,
        stage: Stage,
        changes: Sequence[Change] = (),
        *,
        seed: int = 1,
        profile: Profile = HANDHELD,
    ) -> None:
        """Draw a board that is wrong in these ways, and a meter."""
        self.profile = profile
        self.rng = np.random.default_rng(seed)
        self.board = apply(stage, changes, keep_names=True)
        self.circuit: Circuit = compile_stage(self.board)
        spread = spread_of(self.circuit)
        self.values: Floats = spread.values(spread.draw(self.rng, 1))
        self.gains: dict[tuple[Mode, int], float] = {}

    def read(self, red: str, black: str, mode: Mode) -> Reading:
        """Return what the meter shows."""
        node = [self.circuit.nodes[self.board.net(x) or x] for x in (red, black)]
        found = show(
            self.circuit, np.array([node]), mode, self.profile, values=self.values
        )
        value, index = float(found.values[0]), int(found.scale[0])
        scale = self.profile.scales(mode)[index]
        if mode is Mode.BEEP:
            below = self.profile.beep.below if self.profile.beep else 0.0
            sound = Shown.BEEP if value < below else Shown.SILENT
            return Reading(red, black, mode, sound)
        if not np.isfinite(value):
            return Reading(red, black, mode, Shown.OPEN)
        seen = self._displayed(value, scale, mode, index)
        if seen > scale.full:
            return Reading(red, black, mode, Shown.OPEN)
        return Reading(red, black, mode, seen, scale.step)

    def _displayed(self, value: float, scale: Scale, mode: Mode, index: int) -> float:
        if (mode, index) not in self.gains:
            self.gains[mode, index] = self.rng.uniform(-1, 1) * scale.accuracy
        digits = self.rng.uniform(-1, 1) * scale.digits * scale.step
        value = value * (1 + self.gains[mode, index]) + digits
        return max(round(value / scale.step) * scale.step, 0.0)

    def log(self, probed: Iterable[Probed]) -> tuple[Reading, ...]:
        """Return several readings, one after the other."""
        return tuple(self.read(*one) for one in probed)


def with_readings(stage: Stage, readings: Iterable[Reading]) -> Stage:
    """Return a section with these readings as its whole log."""
    return replace(stage, log=(Block("bench", "", Condition(), tuple(readings)),))
