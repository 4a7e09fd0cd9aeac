"""The six plain readings of all hypotheses at once, as tables."""

from collections.abc import Sequence
from itertools import permutations

import numpy as np

from tracegraph.diagnose.legs.fit import SLIP, below, joint, noise, opens
from tracegraph.diagnose.legs.predict import PinStep, Predicted, Predictor
from tracegraph.diagnose.legs.step import Way
from tracegraph.diagnose.legs.taken import SHORT_VOLTS, Taken
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import Floats
from tracegraph.stage.reading import Mode, Shown

PLACES = tuple(permutations(range(3), 2))


class Plain:
    """What every cell of every group shows, red and black by the place of the pin."""

    def __init__(self, tellers: Sequence[Predictor], profile: Profile) -> None:
        """Work it out; this is what takes time."""
        (self.scale,) = profile.scales(Mode.DIODE)
        sizes = [len(one.group.cells) for one in tellers]
        self._cuts = np.cumsum(sizes)[:-1]
        told = [
            [one.told(PinStep(*pair, Way.PLAIN)) for pair in _pairs(one)]
            for one in tellers
        ]
        self.mean = np.concatenate(
            [np.stack([p.mean for p in one], axis=1) for one in told]
        )
        self.covariance = np.concatenate([self._spread(one) for one in told])
        self.opens = np.concatenate(
            [np.stack([opens(p, self.scale) for p in one], axis=1) for one in told]
        )
        deviation = np.sqrt(np.einsum("cjj->cj", self.covariance))
        self.beeps = below(SHORT_VOLTS, self.mean, deviation)

    def _spread(self, told: Sequence[Predicted]) -> Floats:
        mean = np.stack([one.mean for one in told], axis=1)
        root = np.stack([one.root for one in told], axis=1)
        shared, own = noise(self.scale, mean)
        table = root @ root.transpose(0, 2, 1) + shared[:, :, None] * shared[:, None]
        at = np.arange(table.shape[1])
        table[:, at, at] += own**2
        return np.asarray(table)

    def fits(self, readings: Sequence[Taken], order: tuple[int, ...]) -> list[Floats]:
        """Return the logarithm of every cell's likelihood, group by group.

        Args:
            readings: Plain readings on legs.
            order: Place of the pin on each leg.
        """
        total = np.zeros(len(self.mean))
        columns: list[int] = []
        seen: list[Taken] = []
        for one in readings:
            place = order[one.step.red - 1], order[one.step.black - 1]
            column = PLACES.index(place)
            if isinstance(one.shown, Shown):
                table = self.opens if one.shown is Shown.OPEN else self.beeps
                total += np.log((1 - SLIP) * table[:, column] + SLIP / 2)
            else:
                columns.append(column)
                seen.append(one)
        if columns:
            total += self._numbers(seen, columns)
        total = np.where(np.isnan(total), -np.inf, total)
        return np.split(total, self._cuts)

    def _numbers(self, seen: Sequence[Taken], columns: Sequence[int]) -> Floats:
        rows = np.arange(len(self.mean))
        at = np.array(columns)
        covariance = self.covariance[np.ix_(rows, at, at)]
        twice = at[:, None] == at
        own = noise(self.scale, self.mean[:, columns]).own ** 2
        coarse = np.array([one.resolution for one in seen]) - self.scale.step
        covariance = covariance - own[:, :, None] * (
            twice & ~np.eye(len(columns), dtype=bool)
        )
        own_place = np.arange(len(columns))
        covariance[:, own_place, own_place] += np.maximum(coarse, 0.0) ** 2 / 12
        off = np.array([float(one.shown) for one in seen]) - self.mean[:, columns]
        bad = np.isnan(off).any(axis=1)
        off, covariance = np.where(bad[:, None], 0.0, off), covariance.copy()
        covariance[bad] = np.eye(len(columns))
        shown = np.zeros_like(off)
        return np.where(bad, -np.inf, joint(off, covariance, shown, self.scale))


def _pairs(teller: Predictor) -> list[tuple[str, str]]:
    pins = teller.group.pins
    return [(pins[red], pins[black]) for red, black in PLACES]
