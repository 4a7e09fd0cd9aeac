"""What remains after some readings: kinds, orders of the pins and states of health."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import permutations
from math import log
from threading import Lock
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.legs.fit import fit
from tracegraph.diagnose.legs.group import HEALTHY, Group, groups
from tracegraph.diagnose.legs.plain_fit import Plain, log_priors
from tracegraph.diagnose.legs.predict import PinStep, Predictor
from tracegraph.diagnose.legs.resistive import resistive_fit, stray_fit
from tracegraph.diagnose.legs.step import Step, Way
from tracegraph.diagnose.legs.taken import Taken
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import Floats

RESISTIVE = "resistors, or a leaky part"
STRAY = "nothing that is known here"
RESISTIVE_PRIOR, STRAY_PRIOR = 0.03, 0.002
LEAST = 1e-4  # share below which a hypothesis is not looked at again
Order = tuple[int, int, int]  # place of the pin on each of the legs 1, 2, 3
ORDERS: tuple[Order, ...] = tuple((a, b, c) for a, b, c in permutations((0, 1, 2)))


class Guess(NamedTuple):
    """A hypothesis that some readings leave.

    Attributes:
        name: The kind.
        roles: What each of the legs is.
        health: `healthy`, or the fault.
        chance: How likely it is.
        group: Where it comes from; None for what is told without a model.
        order: Place of the kind's pin on each leg.
        cells: Chance of every cell of the group; empty without one.
    """

    name: str
    roles: tuple[str, str, str]
    health: str
    chance: float
    group: Group | None
    order: Order
    cells: Floats

    @property
    def healthy(self) -> bool:
        """Whether it is a good part."""
        good = self.group is not None and not self.group.candidate.dead
        return good and self.health == HEALTHY


class World:
    """Every hypothesis as one meter sees it."""

    def __init__(self, profile: Profile) -> None:
        """Take the meter; what it would show is worked out when it is asked for."""
        self.profile = profile
        self.predictors = tuple(Predictor(one, profile) for one in groups())
        self._plain: Plain | None = None
        self._lock = Lock()

    @property
    def plain(self) -> Plain:
        """What every cell shows in the six plain readings."""
        with self._lock:  # a session has it worked out while hands are busy
            if self._plain is None:
                self._plain = Plain(self.predictors, self.profile)
            return self._plain

    def guesses(self, readings: Sequence[Taken]) -> list[Guess]:
        """Return what the readings leave, the likeliest first; chances add up to 1."""
        plain = [one for one in readings if one.step.way is Way.PLAIN]
        found = self._first(plain)
        if len(plain) < len(readings):
            found = self._again(found, readings)
        found += _unmodelled(readings, self.profile)
        best = max(weight for _, weight in found)
        total = sum(np.exp(weight - best) for _, weight in found)
        shares = [
            one._replace(chance=float(np.exp(weight - best) / total))
            for one, weight in found
        ]
        kept = [one for one in shares if one.chance > LEAST]
        return sorted(kept, key=lambda one: -one.chance)

    def _first(self, plain: Sequence[Taken]) -> list[tuple[Guess, float]]:
        """Return hypotheses worth keeping after the plain readings, with their weight."""
        tables = [self.plain.fits(plain, order) for order in ORDERS]
        enough = max(float(table.max()) for table in tables) + log(LEAST)
        found: list[tuple[Guess, float]] = []
        for order, table in zip(ORDERS, tables, strict=True):
            for teller, own in zip(self.predictors, self.plain.cut(table), strict=True):
                if own.max() > enough:
                    found += _guesses(teller.group, order, own)
        best = max(weight for _, weight in found)
        return [one for one in found if one[1] > best + log(LEAST)]

    def _again(
        self, before: Sequence[tuple[Guess, float]], readings: Sequence[Taken]
    ) -> list[tuple[Guess, float]]:
        """Return hypotheses weighed by all readings together."""
        kept = {(one.group, one.order): one for one, _ in before}
        found: list[tuple[Guess, float]] = []
        for group, order in kept:
            assert group is not None
            teller = self.teller(group)
            told = [teller.told(by_pins(group, order, one.step)) for one in readings]
            own = fit(told, readings, self.profile) + log_priors(group)
            found += _guesses(group, order, own)
        return found

    def teller(self, group: Group) -> Predictor:
        """Return what foretells a group's readings."""
        return self.predictors[groups().index(group)]


def _guesses(group: Group, order: Order, weights: Floats) -> list[tuple[Guess, float]]:
    """Return a group in one order of its pins, a guess a state of health."""
    states = np.array([one.health for one in group.cells])
    specs = group.candidate.kind.pins
    one, two, three = (specs[place].role for place in order)
    found: list[tuple[Guess, float]] = []
    for health in dict.fromkeys(states):
        here = np.where(states == health, weights, -np.inf)
        best = float(here.max())
        if not np.isfinite(best):
            continue
        cells = np.exp(here - best)
        weight = best + log(float(cells.sum()))
        name, legs = group.candidate.name, (one, two, three)
        cells = cells / cells.sum()
        guess = Guess(name, legs, str(health), 0.0, group, order, cells)
        found.append((guess, weight))
    return found


def by_pins(group: Group, order: Order, step: Step) -> PinStep:
    """Return a reading on legs as one on the pins that a hypothesis has there."""
    pins = group.pins
    return PinStep(pins[order[step.red - 1]], pins[order[step.black - 1]], step.way)


def _unmodelled(
    readings: Sequence[Taken], profile: Profile
) -> list[tuple[Guess, float]]:
    nothing, legs = np.zeros(0), ("not known",) * 3
    return [
        (
            Guess(name, legs, health, 0.0, None, (0, 1, 2), nothing),
            fits(readings, profile) + log(prior),
        )
        for name, health, fits, prior in (
            (RESISTIVE, "conducts both ways", resistive_fit, RESISTIVE_PRIOR),
            (STRAY, "fits no part", stray_fit, STRAY_PRIOR),
        )
    ]


@lru_cache(maxsize=4)
def world(profile: Profile) -> World:
    """Return the hypotheses as a meter sees them, remembered."""
    return World(profile)
