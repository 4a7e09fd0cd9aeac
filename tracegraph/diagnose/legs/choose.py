"""Which reading to take next: the fixed six, then what tells most for its cost."""

from collections.abc import Iterator, Mapping, Sequence
from math import log
from types import MappingProxyType

import numpy as np

from tracegraph.diagnose.legs.belief import Guess, World, by_pins, world
from tracegraph.diagnose.legs.fit import SLIP, noise
from tracegraph.diagnose.legs.predict import MOST_OHMS, Predicted, below
from tracegraph.diagnose.legs.step import FIXED, Step, Way
from tracegraph.diagnose.legs.taken import Taken
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import Floats
from tracegraph.stage.reading import Mode, Shown

WORTH = 0.03  # bits an extra reading must promise
MOST_EXTRAS = 8
DEAD = 0.1
HEARD = 0.01  # chance from which a guess is listened to
ASKING = 2  # guesses of a kind that propose readings
HELD_GUESSES = 16
COST: Mapping[Way, float] = MappingProxyType(
    {
        Way.PLAIN: 1.0,
        Way.OHMS: 1.5,  # another setting of the meter
        Way.CHARGED_UP: 1.2,
        Way.CHARGED_DOWN: 1.2,
        Way.PULLED_UP: 2.0,  # a resistor to find and hold
        Way.PULLED_DOWN: 2.0,
        Way.JOINED_UP: 1.5,
        Way.JOINED_DOWN: 1.5,
        Way.TOUCHED: 1.8,
    }
)
"""In plain readings; common practice, no source."""
LEAK_WHY = "a leak of more than the diode test shows may be there"
PATH_WHY = "ohms tell a leak from a junction"
_VOLTS = np.concatenate([[0.0, 0.02, 0.05, 0.1], np.arange(0.15, 3.21, 0.05)])
_FOLDS = np.log(np.geomspace(0.3, 100e6, 40))


def next_step(readings: Sequence[Taken], profile: Profile) -> Step | None:
    """Return the reading to take next, or None where none is worth it."""
    done = {one.step.key for one in readings}
    fixed = next((one for one in FIXED if one.key not in done), None)
    if fixed:
        return fixed
    known = world(profile)
    return extra(known, known.guesses(readings), readings)


def extra(
    known: World, found: Sequence[Guess], readings: Sequence[Taken]
) -> Step | None:
    """Return the most telling reading after the fixed six, or None.

    Args:
        known: The hypotheses as the meter sees them.
        found: What remains of them.
        readings: What was taken.
    """
    done = {one.step.key for one in readings}
    if sum(one.step.way is not Way.PLAIN for one in readings) >= MOST_EXTRAS:
        return None
    if sum(one.chance for one in found if one.healthy) < DEAD:
        return None  # it is to be replaced, whatever it was
    steps = {one.key: one for one in _worth_asking(found, readings, known.profile)}
    gains = {
        key: _bits(known, found, step) / COST[step.way]
        for key, step in steps.items()
        if key not in done
    }
    best = max(gains, key=lambda key: gains[key], default=None)
    return steps[best] if best and gains[best] >= WORTH else None


def _worth_asking(
    found: Sequence[Guess], readings: Sequence[Taken], profile: Profile
) -> Iterator[Step]:
    """Yield what brings a guess out, and ohms over every pair."""
    asked: dict[str, int] = {}
    for guess in found:
        if guess.chance < HEARD or guess.group is None:
            continue
        asked[guess.name] = asked.get(guess.name, 0) + 1
        if asked[guess.name] > ASKING:  # its other orders would say the same
            continue
        legs = {pin: guess.order.index(k) + 1 for k, pin in enumerate(guess.group.pins)}
        for one in guess.group.candidate.telling:
            yield Step(legs[one.red], legs[one.black], one.way, one.why)
    if not profile.scales(Mode.OHMS):
        return
    for taken in readings:
        if taken.step.way is Way.PLAIN:
            why = LEAK_WHY if taken.shown is Shown.OPEN else PATH_WHY
            yield Step(taken.step.red, taken.step.black, Way.OHMS, why)


def _bits(known: World, found: Sequence[Guess], step: Step) -> float:
    """Return the information on kind, pins and health that a reading is expected to give."""
    classes: dict[tuple[object, ...], Floats] = {}
    heard = [one for one in found if one.chance >= HEARD][:HELD_GUESSES]
    for guess in heard:
        key = guess.name, guess.roles, guess.healthy
        shares = guess.chance * _outcomes(known, guess, step)
        classes[key] = classes.get(key, 0.0) + shares
    table = np.array(list(classes.values()))
    table = table / table.sum()
    both = table.sum(axis=0), table.sum(axis=1)
    return float(sum(_entropy(one) for one in both) - _entropy(table.ravel()))


def _entropy(shares: Floats) -> float:
    some = shares[shares > 0]
    return float(-(some * np.log(some)).sum() / log(2))


def _outcomes(known: World, guess: Guess, step: Step) -> Floats:
    """Return the chances of a guess's displays, OL last; a slip may show anything."""
    edges = _FOLDS if step.mode is Mode.OHMS else _VOLTS
    if guess.group is None:
        return np.full(len(edges) + 2, 1 / (len(edges) + 2))
    told = known.teller(guess.group).told(by_pins(guess.group, guess.order, step))
    heard = guess.cells > 1e-3 * guess.cells.max()
    part = Predicted(*(table[heard] for table in told))
    shares = guess.cells[heard] / guess.cells[heard].sum()
    (*_, scale) = known.profile.scales(step.mode)
    limit = log(MOST_OHMS) if step.mode is Mode.OHMS else scale.full
    if step.mode is Mode.OHMS:
        deviation = np.sqrt((part.root**2).sum(axis=1) + part.own**2)
    else:
        meter = noise(scale, part.mean)
        deviation = np.sqrt((part.root**2).sum(axis=1) + meter.own**2 + meter.shared**2)
    mean = np.nan_to_num(part.mean, nan=limit)
    inner = edges[edges < limit]
    whole = np.array([below(edge, mean, deviation) for edge in (*inner, limit)])
    shown = part.blank < 1.0 if step.mode is Mode.OHMS else 1 - part.blank
    numbers = np.diff(whole, axis=0, prepend=0.0) * shown
    spread = np.zeros((len(edges) + 2, len(mean)))
    spread[: len(numbers)] = numbers
    spread[-1] = 1 - numbers.sum(axis=0)
    told_shares = spread @ shares
    return np.asarray((1 - SLIP) * told_shares + SLIP / len(told_shares))
