"""Random faults found: how often, in how many probes, and how sure rightly.

Every board is drawn within its tolerances, with the spread that parts share, a meter
whose gain is off by as much as its data sheet allows, and display steps. The tool
proposes each reading. `DIAGNOSED` says how many of each kind a section gets.
"""

import os
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import exp, log
from pathlib import Path
from time import process_time

import numpy as np

from tests.diagnose.simulated import Bench
from tracegraph.diagnose.grouping import groups_of
from tracegraph.diagnose.hypothesis import Hypothesis
from tracegraph.diagnose.information import entropy, entropy_bound
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.likelihood import measures
from tracegraph.diagnose.rig import Rig, key_of
from tracegraph.diagnose.running import Running
from tracegraph.diagnose.scene import scales_of
from tracegraph.diagnose.verdict import Sort, State, Verdict
from tracegraph.diagnose.weighing import Standing, alike
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.notation.source import from_text
from tracegraph.stage.alter import ChangeError
from tracegraph.stage.change import Change
from tracegraph.stage.read import read
from tracegraph.stage.reading import Block, Condition, Reading
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[2] / "examples"
PATTERNS = Path(__file__).parents[2] / "tracegraph" / "compare" / "patterns"
COUNT = int(os.environ.get("DIAGNOSED", "6"))
CAP = 20  # readings at most
BOARD = (Sort.PART, Sort.BRIDGE, Sort.TRACK)


def run() -> None:
    """Print a line a section, then what all of them come to."""
    print(
        "section                    |  single  |  pairs   | healthy | slips      | probes"
    )
    totals: Counter[str] = Counter()
    for path in _sections():
        section = _Section(path)
        section.all(np.random.default_rng(1))
        totals.update(section.found)
        print(f"{path.stem:26} | {section.line()}", flush=True)
    print(f"{'all':26} | {_line(totals)}")
    print(_calibration(totals))


def _sections() -> Iterator[Path]:
    only = os.environ.get("DIAGNOSED_ONLY", "")
    for path in (*sorted(EXAMPLES.glob("*.trace")), *sorted(PATTERNS.glob("*.trace"))):
        if only in path.stem:
            yield path


class _Section:
    """A section, its faults, and what was found of them."""

    def __init__(self, path: Path) -> None:
        stage = replace(read(from_text(path.stem, path.read_text("utf-8"))), log=())
        self.stage, self.profile = stage, find_meter(DEFAULT)
        self.inquiry = Inquiry(stage, self.profile)
        weights = self.inquiry.weigh(stage)
        self.scene = weights.scene
        self.whole = self.scene.stage
        self.found: Counter[str] = Counter()
        self.inquiry.warm_up(stage)
        moment = weights.log.moments[weights.log.now]
        self.asked = self.scene.candidates(moment)
        running = Running(weights, self.scene.rig(moment).stage)
        bits = running.bits(self.asked, running.told(self.asked))
        self.bound = entropy_bound(running.shares, float(bits.max()))
        self.bits = float(entropy(running.shares / running.shares.sum()))

    def all(self, rng: np.random.Generator) -> None:
        """Try every kind of board."""
        board = [one for one in self.scene.hypotheses if one.sort in BOARD]
        slips = [one for one in self.scene.hypotheses if one.sort is Sort.SLIP]
        for _ in range(COUNT):
            self.single(board, rng)
            self.healthy(rng)
            self.slip(slips, rng)
        for _ in range((COUNT + 1) // 2):
            self.pair(board, rng)
        for _ in range((COUNT + 2) // 3):
            self.at_random(board, rng)

    def single(self, every: Sequence[Hypothesis], rng: np.random.Generator) -> None:
        """One thing wrong, the tool proposes."""
        truth, changes = _drawn(every, rng)
        if not self.shows(truth, changes):
            self.found["undetectable"] += 1
            return
        start = process_time()
        readings, verdict = self.session(changes, rng)
        self.found["seconds"] += int(1e3 * (process_time() - start))
        hit = self.top(readings, truth, 1)
        self.found["single"] += 1
        self.found["single right"] += hit
        self.found["probes"] += len(readings)
        self.note(verdict, right=hit)
        if not hit:
            print(f"    missed: {truth.words} -> {verdict.words}", flush=True)

    def healthy(self, rng: np.random.Generator) -> None:
        """Nothing wrong."""
        readings, verdict = self.session((), rng)
        good = verdict.state is State.HEALTHY
        self.found["healthy"] += 1
        self.found["healthy right"] += good
        self.note(verdict, right=good)
        if not good:
            print(f"    healthy after {len(readings)}: {verdict.words}", flush=True)

    def slip(self, every: Sequence[Hypothesis], rng: np.random.Generator) -> None:
        """The board is right, the file is wrong."""
        truth, changes = _drawn(every, rng)
        if not self.shows(truth, changes):
            return
        readings, verdict = self.session(changes, rng)
        hit = self.top(readings, truth, 1)
        top = verdict.groups[0] if verdict.groups else None
        condemned = verdict.state is State.FOUND and not (top and top.slip > 0.01)
        self.found["slips"] += 1
        self.found["slips right"] += hit
        self.found["condemned"] += condemned
        self.note(verdict, right=hit)
        if condemned:
            print(f"    condemned: {truth.words} -> {verdict.words}", flush=True)

    def pair(self, every: Sequence[Hypothesis], rng: np.random.Generator) -> None:
        """Two things wrong at once."""
        (one, first), (other, second) = _drawn(every, rng), _drawn(every, rng)
        both = (*first, *second)
        clash = set(one.parts) & set(other.parts) or key_of(one) == key_of(other)
        if clash or not (self.shows(one, first) and self.shows(other, second)):
            return
        try:
            readings = self.sheet(both, rng)
        except ChangeError:  # the one takes away what the other needs
            return
        verdict = self.verdict(readings)
        hit = self.both(readings, one, other)
        self.found["pairs"] += 1
        self.found["pairs right"] += hit
        if not hit:
            told = [group.suspects[0].words for group in verdict.groups[:3]]
            print(f"    pair {one.words} and {other.words} -> {told}", flush=True)

    def at_random(self, every: Sequence[Hypothesis], rng: np.random.Generator) -> None:
        """One thing wrong, readings taken at random till it is found."""
        truth, changes = _drawn(every, rng)
        if not self.shows(truth, changes):
            return
        bench = self.bench(changes, rng)
        readings: list[Reading] = []
        for k in rng.permutation(len(self.asked))[: 2 * CAP]:
            readings.append(bench.read(*self.asked[int(k)]))
            verdict = self.verdict(readings)
            if verdict.state in {State.FOUND, State.TRACING}:
                break
        self.found["random"] += 1
        self.found["random probes"] += len(readings)

    def bench(self, changes: Sequence[Change], rng: np.random.Generator) -> Bench:
        return Bench(self.whole, changes, seed=int(rng.integers(1 << 30)))

    def session(
        self, changes: Sequence[Change], rng: np.random.Generator
    ) -> tuple[list[Reading], Verdict]:
        """Take the readings that the tool proposes, till it has no more."""
        bench = self.bench(changes, rng)
        readings: list[Reading] = []
        while True:
            stage = self.with_log(readings)
            advice = self.inquiry.advice(stage)
            if advice.done or not advice.proposals or len(readings) >= CAP:
                return readings, self.inquiry.verdict(stage)
            red, black, mode = advice.proposals[0].probe
            readings.append(bench.read(red, black, mode))

    def sheet(
        self, changes: Sequence[Change], rng: np.random.Generator
    ) -> list[Reading]:
        """Take readings as from a printed sheet: many, not chosen one by one."""
        bench = self.bench(changes, rng)
        some = rng.permutation(len(self.asked))[: 2 * CAP]
        return [bench.read(*self.asked[int(k)]) for k in some]

    def with_log(self, readings: Sequence[Reading]) -> Stage:
        block = Block("simulated", "", Condition(), tuple(readings))
        return replace(self.stage, log=(block,) if readings else ())

    def verdict(self, readings: Sequence[Reading]) -> Verdict:
        return self.inquiry.verdict(self.with_log(readings))

    def shows(self, truth: Hypothesis, changes: Sequence[Change]) -> bool:
        """Return whether any reading would tell the fault from the healthy section."""
        try:
            one = truth._replace(way=None, changes=tuple(changes), blind=False)
            rig = Rig(self.whole, self.profile)
            rig.add([one])
            rig.work_out(self.asked)
        except (ChangeError, ValueError):
            return False
        table = np.stack([rig.column(one).values[:2] for one in self.asked], axis=1)
        told = measures(table, [mode for _, _, mode in self.asked])
        scales = scales_of([mode for _, _, mode in self.asked], self.profile)
        return len(told) > 1 and not bool(alike(told[1], told[0], scales).all())

    def top(self, readings: Sequence[Reading], truth: Hypothesis, groups: int) -> bool:
        """Return whether the truth is in one of the first groups."""
        weights = self.inquiry.weigh(self.with_log(readings))
        ranked = groups_of(weights.weighing, weights.found, weights.total)[:groups]
        key = key_of(truth)
        return any(
            one.hypothesis and key_of(one.hypothesis) == key
            for group in ranked
            for one in group.members
        )

    def both(
        self, readings: Sequence[Reading], one: Hypothesis, other: Hypothesis
    ) -> bool:
        """Return whether both things are told together in one of the first three groups."""
        weights = self.inquiry.weigh(self.with_log(readings))
        ranked = groups_of(weights.weighing, weights.found, weights.total)[:3]
        return any(
            _names(standing, one) and _names(standing, other)
            for group in ranked
            for standing in group.members
        )

    def note(self, verdict: Verdict, *, right: bool) -> None:
        """Count how sure the verdict was, and whether rightly."""
        top = max([verdict.healthy, *(group.chance for group in verdict.groups)])
        step = next(x for x in (0.99, 0.9, 0.7, 0.5, 0.0) if top >= x)
        self.found[f"sure {step}"] += 1
        self.found[f"sure {step} right"] += right

    def line(self) -> str:
        return (
            f"{_line(self.found)}  bound {self.bound:.1f}, prior {self.bits:.2f} bits"
        )


def _names(standing: Standing, truth: Hypothesis) -> bool:
    told = standing.hypothesis
    if told is None or told.sort is not Sort.SEVERAL:
        return False
    if truth.parts and set(truth.parts) <= set(told.parts):
        return True
    return set(truth.nets) <= set(told.nets)


def _drawn(
    every: Sequence[Hypothesis], rng: np.random.Generator
) -> tuple[Hypothesis, tuple[Change, ...]]:
    """Return a thing that is wrong, at a value drawn from its range."""
    one = every[int(rng.integers(len(every)))]
    if not one.ranges:
        return one, one.changes
    span = one.ranges[int(rng.integers(len(one.ranges)))][0]
    if span.low == span.high:
        return one, one.at(span.low)
    return one, one.at(exp(rng.uniform(log(span.low), log(span.high))))


def _line(found: Counter[str]) -> str:
    def share(name: str) -> str:
        return f"{found[f'{name} right']}/{found[name]}"

    mean = found["probes"] / max(found["single"], 1)
    random = found["random probes"] / max(found["random"], 1)
    return (
        f"{share('single'):>8} | {share('pairs'):>8} | {share('healthy'):>7} |"
        f" {share('slips'):>5} bad {found['condemned']} |"
        f" {mean:4.1f} (random {random:4.1f}) undetectable {found['undetectable']}"
    )


def _calibration(found: Counter[str]) -> str:
    told: dict[str, str] = defaultdict(str)
    for step in (0.99, 0.9, 0.7, 0.5, 0.0):
        count = found[f"sure {step}"]
        told[str(step)] = (
            f"from {step:.0%}: {found[f'sure {step} right']}/{count} right"
        )
    return "calibration: " + ", ".join(told.values())
