"""What the part is, as far as the readings tell: kind, pins, health, and what is open."""

from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

from tracegraph.diagnose.legs.belief import RESISTIVE, STRAY, Guess, world
from tracegraph.diagnose.legs.choose import extra, next_step
from tracegraph.diagnose.legs.step import FIXED, Step, Way
from tracegraph.diagnose.legs.taken import Taken
from tracegraph.meter.profile import Profile

SURE = 0.9  # chance from which a state of health is called settled
SURE_OF_KIND = 0.99  # and a kind: look-alikes differ by millivolts
REMAINS = 0.01  # chance from which an alternative is named
MOST = 10
ALIKE = 0.1  # of the likeliest order of a kind: as good as it
MANY_ORDERS = 4


class Health(StrEnum):
    """What can be said of the part's health."""

    HEALTHY = "healthy"  # as far as these readings show
    FAULTY = "faulty"
    OPEN = "not settled"


class Possible(NamedTuple):
    """A kind with an order of its pins that the readings leave.

    Attributes:
        name: The kind.
        legs: What legs 1, 2 and 3 are.
        chance: How likely it is, 0 to 1.
        faults: Faults of it that fit, the likeliest first; empty where it is healthy.
        healthy: Share of it that is a good part, 0 to 1.
        word: The kind's word in the notation, or empty.
    """

    name: str
    legs: tuple[str, str, str]
    chance: float
    faults: tuple[str, ...]
    healthy: float
    word: str = ""


class LegsAnswer(NamedTuple):
    """What the part is.

    Attributes:
        readings: What it was told by.
        possible: Kinds that remain, the likeliest first.
        health: What can be said of its health.
        sound: How likely it is that it is a good part, 0 to 1.
        kind: The kind, where it is settled, else empty.
        pinned: Whether the order of its pins is settled.
        legs: What each leg is, or may be: `emitter`, `collector or emitter`.
        next: The reading that would tell more, or None.
        complete: Whether the six fixed readings are all there.
        doubt: What none of the known parts explains, or empty.
    """

    readings: tuple[Taken, ...]
    possible: tuple[Possible, ...]
    health: Health
    sound: float
    kind: str
    pinned: bool
    legs: tuple[str, str, str]
    next: Step | None
    complete: bool
    doubt: str = ""


def answer(readings: Sequence[Taken], profile: Profile) -> LegsAnswer:
    """Return what the readings tell of the part.

    Args:
        readings: What was read, in order; none leaves everything open.
        profile: The meter.
    """
    known = world(profile)
    found = known.guesses(readings)
    possible = _possible(found)
    lost = sum(one.chance for one in found if one.name in {RESISTIVE, STRAY})
    sound = sum(one.chance for one in found if one.healthy)
    done = {one.step.key for one in readings if one.step.way is Way.PLAIN}
    complete = all(one.key in done for one in FIXED)
    kind = _settled(possible)
    named = [one for one in possible if one.name == kind] or list(possible)
    legs = _legs(named)
    return LegsAnswer(
        tuple(readings),
        tuple(possible),
        _health(sound, complete=complete),
        sound,
        kind,
        bool(kind) and not any(" or " in leg for leg in legs),
        legs,
        extra(known, found, readings) if complete else next_step(readings, profile),
        complete,
        _doubt(found, lost),
    )


def _possible(found: Sequence[Guess]) -> list[Possible]:
    """Return guesses gathered by kind and pins, the likeliest first.

    A kind of which nearly every order remains is told once.
    """
    gathered: dict[tuple[str, tuple[str, str, str]], list[Guess]] = {}
    for one in found:
        gathered.setdefault((one.name, one.roles), []).append(one)
    for name in {name for name, _ in gathered}:
        orders = [key for key in gathered if key[0] == name]
        chances = [sum(one.chance for one in gathered[key]) for key in orders]
        if sum(chance > ALIKE * max(chances) for chance in chances) >= MANY_ORDERS:
            many = [guess for key in orders for guess in gathered.pop(key)]
            roles = " or ".join(sorted({leg for key in orders for leg in key[1]}))
            gathered[name, (roles, roles, roles)] = many
    every = [_one(name, legs, many) for (name, legs), many in gathered.items()]
    every.sort(key=lambda one: (-one.chance, one.name, one.legs))
    return [one for one in every if one.chance >= REMAINS][:MOST] or every[:1]


def _one(name: str, legs: tuple[str, str, str], many: Sequence[Guess]) -> Possible:
    chance = sum(one.chance for one in many)
    sound = sum(one.chance for one in many if one.healthy)
    bad = sorted((one for one in many if not one.healthy), key=lambda one: -one.chance)
    faults = dict.fromkeys(
        one.health for one in bad if one.chance > REMAINS * max(chance, 0.1)
    )
    group = many[0].group
    word = group.candidate.kind.word if group else ""
    return Possible(name, legs, chance, tuple(faults), sound / (chance or 1.0), word)


def _settled(possible: Sequence[Possible]) -> str:
    """Return the kind that carries nearly all of the chance, or nothing."""
    names: dict[str, float] = {}
    for one in possible:
        names[one.name] = names.get(one.name, 0.0) + one.chance
    best = max(names, key=lambda name: names[name])
    return best if names[best] >= SURE_OF_KIND else ""


def _legs(possible: Sequence[Possible]) -> tuple[str, str, str]:
    """Return what each leg is or may be; hardly likely orders are not counted."""
    most = possible[0].chance
    told = [one for one in possible if one.chance > 0.05 * most]
    one, two, three = (
        " or ".join(
            dict.fromkeys(part for p in told for part in p.legs[k].split(" or "))
        )
        for k in range(3)
    )
    return one, two, three


def _health(sound: float, *, complete: bool) -> Health:
    if sound >= SURE and complete:
        return Health.HEALTHY
    return Health.FAULTY if sound <= 1 - SURE else Health.OPEN


def _doubt(found: Sequence[Guess], lost: float) -> str:
    if lost < 1 - SURE:
        return ""
    return max(
        (one for one in found if one.name in {RESISTIVE, STRAY}),
        key=lambda one: one.chance,
    ).name
