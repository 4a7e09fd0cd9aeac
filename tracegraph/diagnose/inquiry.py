"""The diagnosis: readings weighed, and the verdict they come to.

An `Inquiry` keeps what it has worked out of a section, so that at the bench the next
reading is answered at once.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import log
from typing import TypeVar

import numpy as np

from tracegraph.diagnose.hearing import heard
from tracegraph.diagnose.judging import verdict_of
from tracegraph.diagnose.moments import log_of
from tracegraph.diagnose.priors import Priors, usual
from tracegraph.diagnose.proposing import advice_of
from tracegraph.diagnose.rig import Asked
from tracegraph.diagnose.scene import Scene, Weighing
from tracegraph.diagnose.settled import settled
from tracegraph.diagnose.several import several
from tracegraph.diagnose.verdict import Advice, Sort, Verdict
from tracegraph.diagnose.weighing import Standing
from tracegraph.diagnose.weights import Weights
from tracegraph.diagnose.worlds import Known, World, worlds_of
from tracegraph.meter.profile import Profile
from tracegraph.stage.reading import LogEntry
from tracegraph.stage.stage import Stage

KEPT = 12  # logs whose answers are kept: readings come and are taken back
Answer = TypeVar("Answer")
Entries = tuple[LogEntry, ...]


class Inquiry:
    """A section under diagnosis."""

    def __init__(
        self, stage: Stage, profile: Profile, priors: Priors | None = None
    ) -> None:
        """Take a section; its log may change from question to question."""
        self.stage, self.profile = stage, profile
        self.priors = priors or usual()
        self._scenes: dict[str, Scene] = {}
        self._shown: Known = {}
        self._rests = stage.rests
        self._weights: list[tuple[Entries, Weights]] = []
        self._advices: list[tuple[Entries, Advice]] = []

    def weigh(self, stage: Stage) -> Weights:
        """Return everything weighed against the log of the section.

        Args:
            stage: The section with the log that it has now.
        """
        return _kept(self._weights, stage, lambda: self._weighed(stage))

    def _weighed(self, traced: Stage) -> Weights:
        stage = settled(traced, self.profile)
        if stage.rests != self._rests:  # what boards showed stands no more
            self._rests, self._shown = stage.rests, {}
        log_now = log_of(stage, self.profile)
        slip = self.priors.figure("probe.slip")
        worlds = worlds_of(
            replace(stage, log=()), log_now, self.profile, slip, self._shown
        )
        log_now = heard(self._scene(stage, worlds[0]), log_now)
        parts = []
        for world in worlds:
            scene = self._scene(stage, world)
            parts.append((scene, scene.weigh(log_now), log(world.share)))
        best = max(parts, key=lambda one: _top(one[1]) + one[2])
        found, healthy = _merged(parts)
        extra = _farther(best[0], best[1]) if log_now.taken else []
        extra = [one._replace(weight=one.weight + best[2]) for one in extra]
        return Weights(log_now, best[0], best[1], [*found, *extra], healthy)

    def _scene(self, stage: Stage, world: World) -> Scene:
        key = repr((world.changes, stage.rests))
        if key not in self._scenes:
            bare = replace(stage, log=())
            self._scenes[key] = Scene(bare, self.profile, self.priors, world)
        return self._scenes[key]

    def warm_up(self, stage: Stage, first: Sequence[Asked] = ()) -> None:
        """Work out beforehand what the readings worth taking would show.

        What is asked then is answered at once; for a bench session's idle moments.

        Args:
            stage: The section with the log that it has now.
            first: Readings to begin with, between nets of the section.
        """
        weights = self.weigh(stage)
        weights.scene.warm_up(weights.log, first)

    def verdict(self, stage: Stage) -> Verdict:
        """Return what the readings of a section say.

        Args:
            stage: The section with the log that it has now.
        """
        return verdict_of(self.weigh(stage), self.priors.figure("verdict.sure"))

    def advice(self, stage: Stage) -> Advice:
        """Return where to probe next.

        Args:
            stage: The section with the log that it has now.
        """
        return _kept(self._advices, stage, lambda: self._advise(stage))

    def _advise(self, stage: Stage) -> Advice:
        weights = self.weigh(stage)
        sure = self.priors.figure("verdict.sure")
        return advice_of(weights, verdict_of(weights, sure))


def _kept(
    known: list[tuple[Entries, Answer]], stage: Stage, work: Callable[[], Answer]
) -> Answer:
    """Return the answer to a log, worked out once for the last few logs."""
    found = next((answer for log_then, answer in known if log_then == stage.log), None)
    if found is None:
        found = work()
        known.append((stage.log, found))
        del known[:-KEPT]
    return found


def _farther(scene: Scene, weighing: Weighing) -> list[Standing]:
    """Return what is thought of only where nothing else explains the readings."""
    rare = scene.farther(weighing)
    whole = weighing._replace(standings=(*weighing.standings, *rare))
    return [*rare, *several(scene, whole)]


def _top(weighing: Weighing) -> float:
    return max(max(one.weight, one.hidden) for one in weighing.standings)


def _merged(
    parts: Sequence[tuple[Scene, Weighing, float]],
) -> tuple[list[Standing], float]:
    """Return what may be wrong in all worlds together, and the healthy section."""
    healthy = float(
        np.logaddexp.reduce([w.standings[0].hidden + share for _, w, share in parts])
    )
    by_words: dict[tuple[str, Sort], list[Standing]] = {}
    for _, weighing, share in parts:
        for one in weighing.standings[1:]:
            assert one.hypothesis is not None
            key = one.hypothesis.words, one.hypothesis.sort
            moved = one._replace(weight=one.weight + share, hidden=one.hidden + share)
            by_words.setdefault(key, []).append(moved)
    found = []
    for many in by_words.values():
        best = max(many, key=lambda one: max(one.weight, one.hidden))
        weight = float(np.logaddexp.reduce([one.weight for one in many]))
        hidden = float(np.logaddexp.reduce([one.hidden for one in many]))
        found.append(best._replace(weight=weight, hidden=hidden))
    return found, healthy
