"""Everything weighed against a log: what a verdict and the next reading stand on."""

from collections.abc import Sequence
from math import exp

import numpy as np

from tracegraph.diagnose.moments import Log
from tracegraph.diagnose.scene import Scene, Weighing
from tracegraph.diagnose.weighing import Standing


class Weights:
    """Everything weighed against a log.

    Attributes:
        log: The readings.
        scene: The section in its likeliest world.
        weighing: The readings of that world.
        found: Everything that may be wrong, of all worlds together.
        healthy: Logarithm of the weight of the healthy section, and of all that reads
            as it does.
        total: The same of everything.
    """

    def __init__(
        self,
        log: Log,
        scene: Scene,
        weighing: Weighing,
        found: Sequence[Standing],
        healthy: float,
    ) -> None:
        """Take what was weighed."""
        self.log, self.scene, self.weighing = log, scene, weighing
        self.found = tuple(found)
        hidden = [healthy, *(one.hidden for one in found)]
        self.healthy = float(np.logaddexp.reduce(hidden))
        shown = [one.weight for one in found]
        self.total = float(np.logaddexp.reduce([self.healthy, *shown]))

    @property
    def chance(self) -> float:
        """How likely it is that nothing is wrong that the readings can show."""
        return exp(self.healthy - self.total)
