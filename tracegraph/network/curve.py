"""Capacitances that depend on their voltage, by their charge."""

from dataclasses import dataclass

import numpy as np

from tracegraph.network.circuit import Floats


@dataclass(frozen=True)
class Curve:
    """Capacitances `full / sqrt(1 + v / bend)`, and `full` below zero volts.

    Attributes:
        full: With the drain under the gate, farads.
        bend: Volts over which they begin to shrink.
        sign: Whether the law's volts are those of the branch, or turned round.
    """

    full: Floats
    bend: Floats
    sign: Floats

    def charge(self, volts: Floats) -> tuple[Floats, Floats]:
        """Return charge and capacitance at the branches' volts."""
        along = volts * self.sign
        root = np.sqrt(1 + np.maximum(along, 0.0) / self.bend)
        far = 2 * self.full * self.bend * (root - 1)
        return self.sign * np.where(along > 0, far, self.full * along), self.full / root

    def volts(self, charge: Floats) -> Floats:
        """Return the branches' volts that hold a charge."""
        along = charge * self.sign
        root = 1 + np.maximum(along, 0.0) / (2 * self.full * self.bend)
        far = self.bend * (root * root - 1)
        return self.sign * np.where(along > 0, far, along / self.full)
