"""Capacitances that depend on their voltage, by their charge."""

from dataclasses import dataclass
from functools import cached_property
from math import sqrt

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

    @cached_property
    def _rows(self) -> list[tuple[float, float, float]]:
        """Full capacitance, bend and sign, one by one."""
        table = zip(
            self.full.tolist(), self.bend.tolist(), self.sign.tolist(), strict=True
        )
        return list(table)

    def one_by_one(self, volts: Floats) -> tuple[Floats, Floats]:
        """Return what `charge` does, in plain floats: quicker for a few of them."""
        charges, farads = [], []
        for across, (full, bend, sign) in zip(volts.tolist(), self._rows, strict=True):
            along = across * sign
            root = sqrt(1 + along / bend) if along > 0 else 1.0
            far = 2 * full * bend * (root - 1) if along > 0 else full * along
            charges.append(sign * far)
            farads.append(full / root)
        return np.array(charges), np.array(farads)

    def volts(self, charge: Floats) -> Floats:
        """Return the branches' volts that hold a charge."""
        along = charge * self.sign
        root = 1 + np.maximum(along, 0.0) / (2 * self.full * self.bend)
        far = self.bend * (root * root - 1)
        return self.sign * np.where(along > 0, far, along / self.full)
