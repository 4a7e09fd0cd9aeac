"""Which readings a difference changes most: two probes that confirm it.

Each reading is compared between the reference and the section with all differences in
it, which is what lies on the bench; one that the others would change as well says
little of this one.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from tracegraph.compare.comparison import Comparison, Difference
from tracegraph.compare.glance import Glance, Look, reading_moves
from tracegraph.compare.places import places, traced_names
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.stage.alter import ChangeError, apply
from tracegraph.stage.change import Add, Become, Change, Cut, Remove, Split, Vary
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

MOST = 3  # readings told of one difference
IN_ALL = 8  # readings worked out with their windows, shared out over all differences
SHORT = 4  # readings of a difference of which it is asked whether unknowns move them
OWN = 1.3  # a reading right across what differs
PARTED = 2.5  # and one between pins that were one net


class Effect(NamedTuple):
    """A reading that a difference changes; places by the traced section's names.

    Attributes:
        red: Net or pin under the red probe.
        black: Net or pin under the black probe.
        mode: What the meter is set to.
        was: What the reference shows.
        becomes: What the traced section shows with the differences in it.
    """

    red: str
    black: str
    mode: Mode
    was: str
    becomes: str


class _Asked(NamedTuple):
    """A reading to be worked out for a difference."""

    difference: int
    probe: Probe


def effects(
    comparison: Comparison, reference: Stage, profile: Profile
) -> tuple[tuple[Effect, ...], ...]:
    """Return the readings that tell each difference best, none where nothing shows.

    Args:
        comparison: Reference against traced section.
        reference: The reference.
        profile: The meter.
    """
    every = comparison.differences
    base = _applied(reference, _lawful(every)) or reference
    glance = Glance(base, profile)
    here = [
        k
        for k, one in enumerate(every)
        if one.changes and not one.lawful and _foreseeable(glance, one.changes)
    ]
    now = _applied(base, [c for k in here for c in every[k].changes])
    looks = {k: _telling(glance, every[k].changes, now)[:SHORT] for k in here}
    asked = [_Asked(k, one.probe) for k, one in _best(glance, looks)]
    told = _told(asked, base, now, every, profile)
    return tuple(
        _chosen([pair for k, pair in told if k == difference], comparison, reference)
        for difference in range(len(every))
    )


def _lawful(differences: Iterable[Difference]) -> list[Change]:
    return [change for one in differences if one.lawful for change in one.changes]


def _applied(stage: Stage, changes: Iterable[Change]) -> Stage | None:
    """Return the section with changes, or None where they do not go together."""
    try:
        return apply(stage, changes, keep_names=True)
    except ChangeError:
        return None


def _foreseeable(glance: Glance, changes: Sequence[Change]) -> bool:
    """Return whether changes go together and leave no value open."""
    alone = _applied(glance.stage, changes)
    return alone is not None and glance.computable(alone)


def _best(
    glance: Glance, looks: Mapping[int, Sequence[Look]]
) -> Iterator[tuple[int, Look]]:
    """Yield the readings to be worked out, each with its difference."""
    each = max(1, min(MOST, IN_ALL // max(len(looks), 1)))
    sure = iter(glance.sure([one for many in looks.values() for one in many]))
    for k, many in looks.items():
        own = [next(sure) for _ in many]
        yield from ((k, one) for one in sorted(own, key=_rank)[:each])


def _rank(look: Look) -> float:
    return -look.worth


def _telling(
    glance: Glance, changes: Sequence[Change], now: Stage | None
) -> list[Look]:
    """Return readings that a difference changes, the most telling first.

    Of a pair that reads alike both ways round only one way is kept, and of the pins
    that were one net and are two only one pair.
    """
    stage = glance.stage
    alone = _applied(stage, changes)
    if alone is None:
        return []
    modes = [Mode.OHMS, Mode.DIODE]
    if any(_stores(stage, change) for change in changes):
        modes.append(Mode.CAP)
    pairs = places(stage, changes)
    favour = {frozenset(pair): OWN for pair in pairs[:1]}
    favour |= {frozenset((a, b)): PARTED for a, b in pairs if _one_net(stage, a, b)}
    looks = [
        one._replace(worth=one.worth * favour.get(one.pair, 1.0))
        for one in glance.looks(pairs, alone, now or alone, modes)
    ]
    found: dict[tuple[frozenset[str], Mode], Look] = {}
    parted = False
    for look in sorted(looks, key=_rank):
        over = _one_net(stage, *look.pair)
        if not (over and parted):
            found.setdefault((look.pair, look.probe.mode), look)
        parted = parted or over
    return list(found.values())


def _one_net(stage: Stage, one: str, other: str) -> bool:
    return stage.net(one) == stage.net(other)


def _stores(stage: Stage, change: Change) -> bool:
    """Return whether a change is one of a capacitor."""
    match change:
        case Add(part=part):
            found: Part | None = part
        case Remove(part=ref) | Vary(part=ref) | Become(part=ref):
            found = stage.part(ref)
        case Cut(pin=pin) | Split(pins=(pin,)):
            found = stage.part(pin.part)
        case _:
            return False
    return found is not None and job_of(found) == "capacitance"


def _told(
    asked: Sequence[_Asked],
    base: Stage,
    now: Stage | None,
    every: Sequence[Difference],
    profile: Profile,
) -> list[tuple[int, tuple[Expected, Expected]]]:
    """Return each reading asked for, on the reference and on the bench."""
    probes = [one.probe for one in asked]
    before = expect(base, probes, profile)
    if now is not None:
        after = expect(now, probes, profile)
    else:
        after = tuple(
            expect(apply(base, every[k].changes, keep_names=True), [probe], profile)[0]
            for k, probe in asked
        )
    return [
        (one.difference, pair)
        for one, pair in zip(asked, zip(before, after, strict=True), strict=True)
    ]


def _chosen(
    told: Iterable[tuple[Expected, Expected]], comparison: Comparison, reference: Stage
) -> tuple[Effect, ...]:
    """Return the readings of which no healthy reference shows what is found here."""
    return tuple(
        Effect(
            *traced_names((was.red, was.black), comparison, reference),
            was.mode,
            was.display,
            now.display,
        )
        for was, now in told
        if reading_moves(was, now)
    )[:MOST]
