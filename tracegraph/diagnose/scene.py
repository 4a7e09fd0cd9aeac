"""A section with its log, laid out for a diagnosis: boards, rigs, and what to weigh."""

from collections.abc import Sequence
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.candidates import candidates
from tracegraph.diagnose.faults import part_faults
from tracegraph.diagnose.foretold import Readings
from tracegraph.diagnose.hypothesis import Hypothesis
from tracegraph.diagnose.likelihood import Seen, measure, seen
from tracegraph.diagnose.moments import Log, Moment
from tracegraph.diagnose.priors import Priors
from tracegraph.diagnose.rig import Asked, Rig
from tracegraph.diagnose.slips import bridges, dead_rails, moved_pins, slips, tracks
from tracegraph.diagnose.weighing import Scales, Standing, standings
from tracegraph.diagnose.worlds import World
from tracegraph.meter.profile import Profile
from tracegraph.stage.alter import ChangeError, apply
from tracegraph.stage.change import Change, Vary
from tracegraph.stage.reading import COLD, Mode
from tracegraph.stage.stage import Stage

# Volts that a reading must move by to be told apart by eye; of a live net as much as
# transistors of one type differ in how they saturate.
STEPS = MappingProxyType({Mode.DIODE: 0.002, Mode.VOLTS: 0.05})
UNEXPLAINED = 0.3  # chance of a slip from which a reading counts as not explained
OHMS_STEP = 0.01  # as a logarithm


def hypotheses_of(
    stage: Stage, traced: Stage, priors: Priors
) -> tuple[Hypothesis, ...]:
    """Return everything that may be wrong with a section, or with its file.

    Args:
        stage: The section, with what is unknown of it filled in.
        traced: The section as traced: what was only assumed cannot be wrong.
        priors: How likely each thing is.
    """
    every = (
        *part_faults(stage, priors),
        *bridges(stage, priors),
        *tracks(stage, priors),
        *slips(stage, priors),
    )
    parts = {part.ref for part in traced.parts}
    nets = traced.nets.keys()
    return tuple(
        one
        for one in every
        if one.prior > 0
        and set(one.parts) <= parts
        and set(one.nets) <= nets
        and not any(_assumed(traced, change) for change in one.changes)
    )


def _assumed(traced: Stage, change: Change) -> bool:
    """Return whether a change is of a value that nobody has read yet."""
    part = traced.part(change.part) if isinstance(change, Vary) else None
    if part is None or not isinstance(change, Vary) or not part.has(change.symbol):
        return False
    return part.quantity(change.symbol).typical is None


class Weighing(NamedTuple):
    """Readings weighed.

    Attributes:
        readings: The readings with their rigs.
        seen: The same as they are weighed.
        scales: What tells their displays apart.
        standings: How the healthy section, in front, and all that may be wrong stand.
    """

    readings: Readings
    seen: tuple[Seen, ...]
    scales: Scales
    standings: tuple[Standing, ...]


class Scene:
    """A section in one world, with everything that may be wrong with it.

    Attributes:
        traced: The section as traced.
        stage: The same, with what is unknown of it filled in.
        hypotheses: What may be wrong.
        priors: How likely each thing is.
        profile: The meter.
    """

    def __init__(
        self, stage: Stage, profile: Profile, priors: Priors, world: World
    ) -> None:
        """Take a section and complete it."""
        self.traced = stage
        self.stage = completed(stage, world.changes)
        self.world, self.profile, self.priors = world, profile, priors
        self.hypotheses = hypotheses_of(self.stage, stage, priors)
        self._rigs: dict[str, Rig] = {}
        self._candidates: dict[str, list[Asked]] = {}

    def readings(self, log: Log) -> Readings:
        """Return readings with the rigs of their boards."""
        return Readings(log, [self.rig(moment) for moment in log.moments])

    def rig(self, moment: Moment) -> Rig:
        """Return the rig of a board as it stood, each made once."""
        if moment.key not in self._rigs:
            nets, power = self.traced.nets, moment.power
            world = self.world.changes if power == COLD else self.world.live
            board = completed(moment.stage, world)
            self._rigs[moment.key] = Rig(board, self.profile, nets, power)
        return self._rigs[moment.key]

    def candidates(self, moment: Moment) -> list[Asked]:
        """Return the readings of a board that are worth taking, told once."""
        if moment.key not in self._candidates:
            stage = self.rig(moment).stage
            self._candidates[moment.key] = candidates(stage, moment.stage, self.profile)
        return self._candidates[moment.key]

    def warm_up(self, log: Log, first: Sequence[Asked] = ()) -> None:
        """Work out beforehand what every reading worth taking would show.

        Args:
            log: The readings so far.
            first: Readings to begin with.
        """
        moment = log.moments[log.now]
        rig = self.rig(moment)
        rig.add(self.hypotheses)
        for one in (*first, *self.candidates(moment)):
            rig.work_out([one])  # one by one: called off, most of it stays

    def weigh(self, log: Log) -> Weighing:
        """Return how the healthy section, in front, and all that may be wrong stand."""
        every = self.hypotheses
        if any(log.moments[one.moment].power != COLD for one in log.taken):
            every = (*every, *dead_rails(self.stage, self.priors))
        return self.weighed(self.readings(log), every)

    def farther(self, weighing: Weighing) -> list[Standing]:
        """Return how things stand that are thought of only where nothing else explains.

        Pins on other nets than the file says, of the parts at readings that the best
        explanation leaves odd.
        """
        best = max(weighing.standings, key=lambda one: max(one.weight, one.hidden))
        odd = [
            one
            for k, one in enumerate(weighing.readings.log.taken)
            if best.slips[k] > UNEXPLAINED
        ]
        nets = {net for one in odd for net in (one.red, one.black)}
        refs = {
            part.ref for part in self.traced.parts if nets & set(part.pins.values())
        }
        some = tuple(moved_pins(self.traced, self.priors, refs)) if odd else ()
        return list(self.weighed(weighing.readings, some).standings[1:]) if some else []

    def weighed(self, readings: Readings, hypotheses: Sequence[Hypothesis]) -> Weighing:
        """Return how some things that may be wrong stand, the healthy section in front."""
        taken = readings.log.taken
        told = [seen(one.reading, self.profile) for one in taken]
        slip = self.priors.figure("probe.slip")
        scales = scales_of(readings.modes, self.profile)
        found = standings(readings, hypotheses, told, slip, scales)
        return Weighing(readings, tuple(told), scales, tuple(found))


def completed(stage: Stage, changes: Sequence[Change]) -> Stage:
    """Return a section with what is unknown of it filled in, as far as it applies."""
    for change in changes:
        try:
            stage = apply(stage, (change,), keep_names=True)
        except ChangeError:
            continue
    return stage


def scales_of(modes: Sequence[Mode], profile: Profile) -> Scales:
    """Return what tells displays apart, for readings in these modes."""
    step = [STEPS.get(mode, OHMS_STEP) for mode in modes]
    limit = [measure(limit_of(profile, mode), mode) for mode in modes]
    return Scales(np.array(step), np.array(limit))


def limit_of(profile: Profile, mode: Mode) -> float:
    """Return the display above which a mode shows OL, or no longer beeps."""
    if mode is Mode.BEEP and profile.beep:
        return profile.beep.below
    return profile.scales(mode)[-1].full
