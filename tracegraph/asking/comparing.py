"""A section beside a known-good one, with what confirms and what is lost by it."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.compare.by_readings import PairCompared, compare_readings
from tracegraph.compare.compare import CompareError, compare
from tracegraph.compare.comparison import Comparison, Difference
from tracegraph.compare.dressing import dressed
from tracegraph.compare.effects import Effect, effects
from tracegraph.compare.fitting import fit
from tracegraph.compare.library import NEAR, Pattern
from tracegraph.compare.logs import Logs
from tracegraph.compare.losses import losses
from tracegraph.compare.sisters import channel_of, find_channel, sisters
from tracegraph.meter.profile import Profile
from tracegraph.stage.stage import Stage

NO_MAP: Mapping[str, str] = MappingProxyType({})


class Told(NamedTuple):
    """A difference with what a technician does about it.

    Attributes:
        difference: What differs.
        effects: The readings that confirm it, the most telling first.
        loss: What the section loses by it, or empty.
    """

    difference: Difference
    effects: tuple[Effect, ...] = ()
    loss: str = ""


class Compared(NamedTuple):
    """A comparison with everything that is told of it.

    Attributes:
        comparison: Which part is which, and every difference.
        told: Its differences, each with what confirms it.
        traced: The traced section, or the one channel of it.
        reference: The reference, or the sister channel.
        logs: The sections whose logs belong to the two: a channel has none of its own.
    """

    comparison: Comparison
    told: tuple[Told, ...]
    traced: Stage
    reference: Stage
    logs: tuple[Stage, Stage]


def compared(
    traced: Stage, reference: Stage, profile: Profile, same: Mapping[str, str] = NO_MAP
) -> Compared:
    """Return a section beside its reference.

    Args:
        traced: The section.
        reference: The known-good one.
        profile: The meter that confirms.
        same: Parts known to be the same, reference to traced designator.

    Raises:
        CompareError: `same` names a part that its section does not have.
    """
    found = compare(traced, reference, same=same)
    told = _told(found, reference, profile)
    return Compared(found, told, traced, reference, (traced, reference))


def compared_sisters(stage: Stage, one: str, other: str, profile: Profile) -> Compared:
    """Return a channel of a section beside its sister, which is the reference.

    Raises:
        CompareError: There is no such channel.
    """
    found = sisters(stage, one, other)
    traced = channel_of(stage, find_channel(stage, one))
    reference = channel_of(stage, find_channel(stage, other))
    told = _told(found, reference, profile)
    return Compared(found, told, traced, reference, (stage, stage))


def compared_pattern(stage: Stage, pattern: Pattern, profile: Profile) -> Compared:
    """Return a section beside one of the trade's usual stages, by structure alone.

    Only what of the section belongs to the stage is compared; values are the section's.

    Raises:
        CompareError: Too little of the stage is in the section.
    """
    found = fit(pattern.stage, stage)
    if found.similarity < NEAR:
        share = f"{found.similarity:.0%}".replace("%", " %")
        raise CompareError(
            f"this section is no {pattern.title}: {share} of it found here"
        )
    traced, usual = dressed(pattern.stage, stage, found)
    beside = compare(traced, usual)
    told = _told(beside, usual, profile)
    return Compared(beside, told, traced, usual, (stage, usual))


def _told(found: Comparison, reference: Stage, profile: Profile) -> tuple[Told, ...]:
    if not found.same_section:
        return ()
    confirmed = effects(found, reference, profile)
    lost = losses(found, reference)
    return tuple(map(Told, found.differences, confirmed, lost))


def compared_logs(found: Compared, profile: Profile) -> tuple[PairCompared, ...]:
    """Return the readings that both logs have, worst first.

    Args:
        found: The comparison that tells which net is which.
        profile: The meter that they were taken with.
    """
    suspect, good = found.logs
    nets, parts = found.comparison.nets, found.comparison.parts
    return compare_readings(Logs(good, suspect, nets, parts), profile)


def swapped_names(
    pairs: Sequence[tuple[str, str]], traced: Stage, reference: Stage
) -> Mapping[str, str]:
    """Return pairs of designators as reference to traced, whichever way they came.

    Written `TRACED=REFERENCE`, as the sections are named; a pair that only makes sense
    the other way round is taken so.
    """
    found = {}
    for one, other in pairs:
        as_told = traced.part(one) and reference.part(other)
        turned = traced.part(other) and reference.part(one)
        mine, yours = (other, one) if turned and not as_told else (one, other)
        found[yours] = mine
    return found
