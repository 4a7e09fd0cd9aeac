"""The six plain readings of all hypotheses at once, as tables."""

from collections.abc import Sequence
from itertools import permutations
from math import log

import numpy as np

from tracegraph.diagnose.legs.fit import SLIP, joint, noise, opens, slipped
from tracegraph.diagnose.legs.group import Group
from tracegraph.diagnose.legs.predict import PinStep, Predicted, Predictor, below
from tracegraph.diagnose.legs.step import Way
from tracegraph.diagnose.legs.taken import SHORT_VOLTS, Taken
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import Floats, Ints
from tracegraph.stage.reading import Mode, Shown

PLACES = tuple(permutations(range(3), 2))
ORDERS = 6
FAR = 25.0  # how much less likely, as a logarithm, is not looked at again


def log_priors(group: Group) -> Floats:
    """Return the logarithm of every cell's prior, in one order of the pins."""
    return np.asarray(np.log([one.prior / ORDERS for one in group.cells]))


class Plain:
    """What every cell of every group shows, red and black by the place of the pin."""

    def __init__(self, tellers: Sequence[Predictor], profile: Profile) -> None:
        """Work it out; this is what takes time."""
        (self.scale,) = profile.scales(Mode.DIODE)
        told = [
            [one.told(PinStep(*pair, Way.PLAIN)) for pair in _pairs(one)]
            for one in tellers
        ]
        self._cuts = np.cumsum([len(one.group.cells) for one in tellers])[:-1]
        self._priors = np.concatenate([log_priors(one.group) for one in tellers])
        self.mean = _table([[p.mean for p in one] for one in told])
        self.opens = _table([[opens(p, self.scale) for p in one] for one in told])
        self.covariance = np.concatenate([self._spread(one) for one in told])
        self._deviation = np.sqrt(np.einsum("cjj->cj", self.covariance))
        self.beeps = below(SHORT_VOLTS, self.mean, self._deviation)

    def _spread(self, told: Sequence[Predicted]) -> Floats:
        mean = np.stack([one.mean for one in told], axis=1)
        root = np.stack([one.root for one in told], axis=1)
        shared, own = noise(self.scale, mean)
        table = root @ root.transpose(0, 2, 1) + shared[:, :, None] * shared[:, None]
        at = np.arange(table.shape[1])
        table[:, at, at] += own**2
        return np.asarray(table)

    def cut(self, table: Floats) -> list[Floats]:
        """Return a table of all cells group by group."""
        return np.split(table, self._cuts)

    def fits(self, readings: Sequence[Taken], order: tuple[int, ...]) -> Floats:
        """Return the logarithm of every cell's prior and likelihood together.

        Args:
            readings: Plain readings on legs.
            order: Place of the pin on each leg.
        """
        total = self._priors.copy()
        numbers: list[Taken] = []
        columns: list[int] = []
        for one in readings:
            column = PLACES.index((order[one.step.red - 1], order[one.step.black - 1]))
            if isinstance(one.shown, Shown):
                table = self.opens if one.shown is Shown.OPEN else self.beeps
                total += np.log((1 - SLIP) * table[:, column] + SLIP / 2)
            else:
                numbers.append(one)
                columns.append(column)
        if numbers:
            alone = self._alone(numbers, columns)
            rows = np.flatnonzero(total + alone > (total + alone).max() - FAR)
            found = np.full(len(total), -np.inf)
            found[rows] = total[rows] + self._together(numbers, columns, rows)
            total = found
        return np.asarray(np.where(np.isnan(total), -np.inf, total))

    def _alone(self, numbers: Sequence[Taken], columns: Sequence[int]) -> Floats:
        """Return the most that displays can fit: each at its best, weighed by itself."""
        at = np.array(columns)
        seen = np.array([float(one.shown) for one in numbers])
        mean, deviation = self.mean[:, at], self._deviation[:, at]
        coarse = np.array([one.resolution for one in numbers])
        folds = (seen - mean) / np.sqrt(deviation**2 + coarse**2)
        slip = log(SLIP / 2 / self.scale.full) - log(1 / 0.002)
        best = np.maximum(-(folds**2) / 2, slip)
        return np.asarray(np.where(np.isnan(best), -np.inf, best).sum(axis=1))

    def _together(
        self, numbers: Sequence[Taken], columns: Sequence[int], rows: Ints
    ) -> Floats:
        """Return the joint fit of displays for some cells."""
        at, count = np.array(columns), len(columns)
        mean = self.mean[np.ix_(rows, at)]
        covariance = self.covariance[np.ix_(rows, at, at)]
        own = noise(self.scale, mean).own ** 2
        twice = (at[:, None] == at) & ~np.eye(count, dtype=bool)
        covariance = covariance - own[:, :, None] * twice  # noise is new every time
        coarse = np.array([one.resolution for one in numbers]) - self.scale.step
        diagonal = np.arange(count)
        covariance[:, diagonal, diagonal] += np.maximum(coarse, 0.0) ** 2 / 12
        seen = np.array([float(one.shown) for one in numbers])
        return joint(seen - mean, covariance, np.zeros_like(mean), slipped(self.scale))


def _table(told: Sequence[Sequence[Floats]]) -> Floats:
    return np.concatenate([np.stack(one, axis=1) for one in told])


def _pairs(teller: Predictor) -> list[tuple[str, str]]:
    pins = teller.group.pins
    return [(pins[red], pins[black]) for red, black in PLACES]
