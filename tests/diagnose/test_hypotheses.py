"""What may be wrong: every kind of part, and nothing that is not on the board."""

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import permutations
from math import inf, isfinite

import numpy as np
import pytest

from tests.every import of_every
from tests.stage.kinds.made import made
from tests.test_examples import FILES, stage_of
from tracegraph.diagnose.faults import part_faults
from tracegraph.diagnose.foretold import drawn, shares
from tracegraph.diagnose.hypothesis import FACTORS, LEAKS, Hypothesis, Range
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.priors import usual
from tracegraph.diagnose.rig import Rig
from tracegraph.diagnose.scene import hypotheses_of
from tracegraph.diagnose.verdict import Sort
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.network.family import Between, Instead
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

HANDHELD = find_meter(DEFAULT)
READ = {  # values that a kind cannot know before they are read off the part
    "r": exact(1e3, "ohm"),
    "c": exact(1e-7, "F"),
    "z": exact(600.0, "ohm"),
    "vz": exact(15.0, "V"),
    "i": exact(1.0, "A"),
    "f": exact(8e6, "Hz"),
    "turns": exact(100.0, ""),
    "vout": exact(5.0, "V"),
}


@cache
def holding(word: str) -> Stage:
    """Return a section with one part of a kind, a resistor from each pin to ground."""
    symbols = KINDS[word].parameters.items()
    unread = [s for s, one in symbols if one.quantity.typical is None]
    own = {symbol: READ[symbol] for symbol in unread if symbol in READ}
    part = replace(made(word), given=own)
    nets = {pin: f"N{k}" for k, pin in enumerate(part.pins, 1)}
    lines = [f"R{k} {k + 4}.7k {net} -- COM" for k, net in enumerate(nets.values(), 1)]
    stage = read(from_text(word, "\n".join(["ground COM", *lines])))
    return replace(stage, parts=(*stage.parts, part.with_pins(nets)))


def section(*lines: str) -> Stage:
    return read(from_text("x", "\n".join(["ground COM", *lines]) + "\n"))


def hypotheses(stage: Stage) -> tuple[Hypothesis, ...]:
    return hypotheses_of(stage, stage, usual())


def blamed(found: tuple[Hypothesis, ...]) -> set[str]:
    return {ref for one in found for ref in one.parts}


@of_every(KINDS)
def test_every_way_to_fail_can_be_laid_out(word: str) -> None:
    """Each in rows of its own, and each shows something everywhere, if only OL."""
    stage = holding(word)
    part = stage.part("X1")
    assert part is not None
    found = [one for one in hypotheses(stage) if "X1" in one.parts]
    failures = [one for one in part_faults(stage, usual()) if one.parts == ("X1",)]
    assert {one.name for one in part.kind.faults(part)} <= {x.name for x in failures}
    rig = Rig(stage, HANDHELD)
    rig.add(found)
    assert all(rig.rows(one) != slice(0, 1) for one in found)
    last = list(stage.nets)[-1]
    for asked in [(a, b, Mode.DIODE) for a, b in permutations((last, "COM"))]:
        column = rig.column(asked)
        assert len(column.values) == rig.count
        assert not np.isnan(column.values).any()


@of_every(KINDS)
def test_every_suspect_is_told_by_name_and_has_a_chance(word: str) -> None:
    for one in hypotheses(holding(word)):
        assert 0 < one.prior < 1
        assert one.name
        assert one.words
        assert all(ref in one.words for ref in one.parts)
        if one.ranges:
            assert sum(share for _, share in one.ranges) == pytest.approx(1.0)


def test_what_a_short_or_open_does_is_seen() -> None:
    """The rows of the rig are what the words say."""
    stage = section("R1 1k A -- COM", "D1 diode A -> COM")
    rig = Rig(stage, HANDHELD)
    rig.add(hypotheses(stage))
    by_words = {one.words: one for one in hypotheses(stage)}
    column = rig.column(("A", "COM", Mode.DIODE)).values

    def shows(words: str) -> float:
        (value,) = column[rig.rows(by_words[words])][:1]
        return float(value)

    assert column[0] == pytest.approx(0.55, abs=0.08)
    assert shows("D1 shorted") == pytest.approx(0.0, abs=0.001)
    assert shows("D1 open") == pytest.approx(1.0, abs=0.01)
    assert shows("D1 missing") == pytest.approx(1.0, abs=0.01)
    assert shows("D1 fitted with a and k exchanged") == pytest.approx(1.0, abs=0.01)


# Who is never blamed.


def test_what_is_not_fitted_is_never_blamed() -> None:
    stage = section(
        "R1 1k A -- COM",
        "D1 absent A -> COM",
        "R2 4k7 removed A -- COM",
        "Q1 npn absent b=A c=B e=COM",
        "R3 1k B -- COM",
    )
    assert blamed(hypotheses(stage)) == {"R1", "R3"}


def test_what_was_only_assumed_is_never_blamed() -> None:
    """What hangs on a rail and behind a plug, while nobody has measured it."""
    stage = section(
        "rail P12 12V",
        "R1 1k P12 -- A",
        "Q1 npn b=A c=B e=COM",
        "link B X ?",
        "readings",
        "  diode A COM 0.65",
        "  ohms P12 COM 1.00k",
    )
    weights = Inquiry(stage, HANDHELD).weigh(stage)
    assert len(weights.scene.stage.parts) > len(stage.parts)
    found = [one.hypothesis for one in weights.found if one.hypothesis]
    assert blamed(tuple(found)) <= {"R1", "Q1"}
    assert {net for one in found for net in one.nets} <= stage.nets.keys()


def test_a_value_that_nobody_has_read_is_neither_misread_nor_drifted() -> None:
    stage = section("R1 ? A -- COM", "R2 1k A -- COM", "readings", "  ohms A COM 500")
    weights = Inquiry(stage, HANDHELD).weigh(stage)
    names = {
        (one.hypothesis.name, ref)
        for one in weights.found
        if one.hypothesis
        for ref in one.hypothesis.parts
    }
    assert {("open", "R1"), ("drifted", "R2"), ("value misread", "R2")} <= names
    assert not {("drifted", "R1"), ("value misread", "R1")} & names


def test_an_unknown_pinout_is_not_blamed_pin_by_pin() -> None:
    stage = section("Q1 npn ? 1=A 2=B 3=COM", "R1 1k A -- B")
    assert "pins exchanged" not in {one.name for one in hypotheses(stage)}


# Slips, bridges and tracks.


def test_a_path_may_be_missed_between_any_two_nets() -> None:
    stage = section("R1 1k A -- B", "R2 1k C -- COM", "not traced C")
    paths = {
        frozenset(one.nets): one.prior
        for one in hypotheses(stage)
        if one.name == "missed path"
    }
    assert len(paths) == 4 * 3 / 2
    assert paths[frozenset("AC")] > paths[frozenset("AB")]


def test_nets_that_share_a_part_may_be_bridged() -> None:
    stage = section("R1 1k A -- B", "R2 1k C -- COM")
    found = [one for one in hypotheses(stage) if one.sort is Sort.BRIDGE]
    assert {frozenset(one.nets) for one in found} == {
        frozenset("AB"),
        frozenset({"C", "COM"}),
    }


def test_solder_of_somebody_else_is_looked_at_first() -> None:
    """Splashes and dry joints are where one has soldered: common practice, no source."""
    fresh = section("R1 1k A -- COM", "R2 1k A -- COM")
    touched = section("R1 1k A -- COM", "R2 1k A -- COM", "touched R1")

    def chance(stage: Stage, name: str) -> float:
        return max(one.prior for one in hypotheses(stage) if one.name == name)

    for name in ("bridge", "broken track"):
        assert chance(touched, name) == pytest.approx(4 * chance(fresh, name))


def test_a_pin_alone_on_its_net_has_no_track_to_break() -> None:
    stage = section("R1 1k A -- COM", "R2 1k B -- COM")
    tracks = [one for one in hypotheses(stage) if one.sort is Sort.TRACK]
    assert {one.nets for one in tracks} == {("COM",)}


@pytest.mark.parametrize("name", FILES)
def test_the_examples_can_be_wrong_in_ways_that_differ(name: str) -> None:
    stage = replace(stage_of(name), log=())
    found = hypotheses(stage)
    words = Counter((one.words, one.sort, one.name) for one in found)
    assert [one for one, times in words.items() if times > 1] == []
    fitted = {part.ref for part in stage.parts if part.kind.faults(part)}
    assert fitted <= blamed(found)


# Values that are not known before.


def test_a_drift_begins_outside_the_tolerance() -> None:
    stage = section("R1 10k 5% A -- COM")
    (drift,) = (one for one in hypotheses(stage) if one.name == "drifted")
    inside = [span for span, _ in drift.ranges if span.low < 10e3 < span.high]
    assert inside == []
    edges = sorted(end for span, _ in drift.ranges for end in span)
    assert edges == pytest.approx([1e3, 9.5e3, 10.5e3, 1e5])


def test_the_shares_of_values_come_to_one() -> None:
    ohms = drawn(Between("A", "B", LEAKS), np.zeros((13, 1)), np.zeros((13, 1))).ohms
    leak = shares(ohms, [(Range(2.0, 1e6), 1.0)])
    assert leak.sum() == pytest.approx(1.0)
    per_decade = [leak[(ohms > d) & (ohms < 10 * d)].sum() for d in (20.0, 2e3, 2e4)]
    assert per_decade == pytest.approx([1 / np.log10(5e5)] * 3, rel=0.15)
    short = shares(ohms, [(Range(0.0, 0.0), 1.0)])
    assert short[0] == 1.0


def test_an_open_is_no_great_resistance() -> None:
    ways = Instead("R1", tuple(1e3 * one for one in FACTORS))
    ohms = drawn(ways, np.zeros((14, 1)), np.zeros((14, 1))).ohms
    open_only = shares(ohms, [(Range(inf, inf), 1.0)])
    assert open_only[~np.isfinite(ohms)] == pytest.approx([1.0])
    drift = shares(ohms, [(Range(1.05e3, 1e4), 1.0)])
    assert all(isfinite(one) for one in ohms[drift > 0])
