"""Single things wrong with the treadmill's board, found by twelve readings.

Boards are drawn within their tolerances and read with a meter's errors; seeds are fixed.
"""

from math import inf, isfinite
from typing import NamedTuple

import pytest

from tests.diagnose.simulated import HANDHELD, with_readings
from tests.diagnose.treadmill import (
    SENSIBLE,
    D,
    O,
    judged,
    members,
    taken,
)
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Sort, State
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.change import Change, Cut, Permute, Remove, Tie, Vary
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Reading, Shown


class Case(NamedTuple):
    """One thing that is wrong.

    Attributes:
        change: What is wrong with the board.
        words: How its suspect's words begin.
        sort: What kind of thing it is.
        state: How the diagnosis must stand; None where twelve readings may not settle it.
        ohms: What a leaky or drifted part comes to, or None.
    """

    change: Change
    words: str
    sort: Sort
    state: State | None = State.FOUND
    ohms: float | None = None


CASES = [
    Case(Cut(Pin("R25", "1")), "R25 open", Sort.PART),
    Case(Tie("PB", "V15"), "Q22 shorted b-e", Sort.PART),
    Case(Tie("COM", "GD", 40.0), "Q23 leaky c-e", Sort.PART, ohms=40.0),
    Case(Vary("R25", "r", exact(3e3, "ohm")), "R25 drifted", Sort.PART, ohms=3e3),
    Case(Remove("D21"), "D21 missing", Sort.PART),
    Case(Permute("D21", {"a": "k", "k": "a"}), "D21 fitted with a and k", Sort.PART),
    Case(Tie("NB", "PULL"), "NB and PULL bridged", Sort.BRIDGE),
    Case(Cut(Pin("Q23", "b")), "track or joint between DRV and Q23.b", Sort.TRACK),
    Case(Tie("NB", "COM", 470.0), "a path of about", Sort.SLIP, None, 470.0),
    Case(
        Vary("R25", "r", exact(10e3, "ohm").within(0.05)),
        "R25 is 10 k on the board",
        Sort.SLIP,
        State.TRACING,
    ),
    Case(
        Permute("Q23", {"b": "e", "e": "b"}),
        "Q23.b and Q23.e exchanged in the file",
        Sort.SLIP,
        State.TRACING,
    ),
    Case(
        Permute("Q22", {"b": "c", "c": "b"}),
        "Q22.b and Q22.c exchanged in the file",
        Sort.SLIP,
        State.TRACING,
    ),
]


@pytest.mark.parametrize("case", CASES, ids=[one.words for one in CASES])
def test_what_is_wrong_is_in_the_first_group(case: Case) -> None:
    verdict = judged(taken((case.change,), seed=2))
    top = verdict.groups[0]
    (found,) = (
        one
        for one in top.suspects
        if one.words.startswith(case.words)
        and one.sort is case.sort
        and (not isinstance(case.change, Tie) or {*one.nets} == {*case.change[:2]})
    )
    assert verdict.state in {case.state, *([] if case.state else State)}
    assert top.chance > verdict.healthy or case.state is None
    assert top.evidence[0].weight > 1
    if case.ohms is not None:
        assert found.value == pytest.approx(case.ohms, rel=0.1)
        assert found.low is not None
        assert found.high is not None
        assert found.low <= case.ohms <= found.high


@pytest.mark.parametrize("case", CASES[-2:], ids=[one.words for one in CASES[-2:]])
def test_a_slip_of_the_pencil_is_checked_before_a_part_is_condemned(case: Case) -> None:
    verdict = judged(taken((case.change,), seed=2))
    top = verdict.groups[0]
    assert verdict.state is State.TRACING
    assert "before any part is condemned" in verdict.words
    assert top.slip > 0.5
    (ref,) = top.suspects[0].parts
    assert ref in top.check


def test_a_missed_path_names_what_to_beep_or_look_for() -> None:
    top = judged(taken((Tie("DRV", "V15", 1e3),), seed=1)).groups[0]
    paths = [one for one in top.suspects if one.name == "missed path"]
    assert {"DRV", "V15"} in [{*one.nets} for one in paths]
    assert "that is not in the file" in paths[0].words
    assert "look for a part between" in top.check or "beep" in top.check
    assert top.slip > 0.1


def test_suspects_that_read_the_same_are_one_group() -> None:
    """A lone open and the joint beside it: no reading in place parts them."""
    verdict = judged(taken((Cut(Pin("R25", "1")),), seed=2))
    top = verdict.groups[0]
    assert {one.sort for one in top.suspects} == {Sort.PART, Sort.TRACK}
    assert "R25" in top.check + top.lift


# A healthy board.


@pytest.mark.parametrize("seed", range(10, 12))
def test_a_healthy_board_is_called_healthy(seed: int) -> None:
    verdict = judged(taken(seed=seed))
    assert verdict.state is State.HEALTHY
    assert verdict.healthy > 0.9
    assert verdict.doubtful == ()
    assert verdict.odd == ()
    assert "all 12 readings are as expected" in verdict.words


def test_a_healthy_board_says_what_was_not_tested() -> None:
    verdict = judged(taken(seed=10))
    assert {"D22", "R28", "R21"} <= {*verdict.untested}
    assert not {"R25", "R27", "Q23", "D21"} & {*verdict.untested}


def test_no_readings_say_nothing() -> None:
    verdict = judged([])
    assert verdict.state is State.EMPTY
    assert verdict.groups == ()
    assert verdict.healthy > 0


# Readings that fit nothing.


def odd(place: int, shown: float | Shown, seed: int = 5) -> list[Reading]:
    """Return a healthy board's readings, one of them wild."""
    readings = taken(seed=seed)
    readings[place] = readings[place]._replace(shown=shown)
    return readings


def test_one_wild_reading_is_to_be_taken_again() -> None:
    readings = odd(SENSIBLE.index(("DRV", "COM", O)), 330.0)
    verdict = judged(readings)
    assert verdict.state not in {State.FOUND, State.TRACING}
    assert [one.reading for one in verdict.doubtful] == [readings[3]]
    assert [one.reading for one in verdict.odd] == [readings[3]]
    assert "take DRV to COM (ohms) again" in verdict.doubtful[0].words
    assert all(group.chance < 0.1 for group in verdict.groups)
    assert "all 12" not in verdict.words


def test_taken_again_and_good_it_is_healthy_and_both_are_kept() -> None:
    good = taken(seed=5)[3]
    verdict = judged([*odd(3, 330.0), good])
    assert verdict.state is State.HEALTHY
    assert len(verdict.readings) == 13
    assert [one.reading.shown for one in verdict.doubtful] == [330.0]


def test_taken_again_and_still_odd_it_is_believed() -> None:
    """One OL may be a tip off its pad; two are not."""
    wrong = (Cut(Pin("Q22", "e")),)
    twice = [*taken(wrong, seed=5), *taken(wrong, seed=6)[5:6]]
    verdict = judged(twice)
    assert verdict.state is State.FOUND
    assert verdict.doubtful == ()
    assert any(one.parts == ("Q22",) for one in verdict.groups[0].suspects)


def small(*lines: str) -> Inquiry:
    stage = read(from_text("x", "\n".join(["ground COM", *lines]) + "\n"))
    return Inquiry(stage, HANDHELD)


def test_probes_that_were_swapped_are_asked_after() -> None:
    ask = small(
        "D1 diode A -> COM", "R1 100k A -- COM", "D2 diode A -> B", "R2 1k B -- COM"
    )
    readings = [
        Reading("A", "COM", D, Shown.OPEN),
        Reading("A", "COM", O, 99.4e3, 10.0),
        Reading("B", "COM", O, 1001.0, 1.0),
    ]
    verdict = ask.verdict(with_readings(ask.stage, readings))
    assert [one.reading for one in verdict.doubtful] == readings[:1]
    assert "were they swapped?" in verdict.doubtful[0].words


def test_contradictory_readings_condemn_nothing() -> None:
    ask = small("R1 10k A -- COM", "R2 10k A -- B", "R3 10k B -- COM")
    readings = [Reading("A", "COM", O, x, 1.0) for x in (6.66e3, 2.2e3, 6.67e3)]
    verdict = ask.verdict(with_readings(ask.stage, readings))
    assert len(verdict.readings) == 3
    assert [one.reading.shown for one in verdict.doubtful] == [2.2e3]
    assert verdict.state is not State.FOUND


# Nothing is out of bounds.


def test_chances_add_up() -> None:
    for readings in (taken(seed=10), taken((Tie("COM", "GD", 40.0),), seed=2)):
        verdict = judged(readings)
        told = sum(group.chance for group in verdict.groups)
        assert 0 <= verdict.healthy <= 1
        assert told + verdict.healthy == pytest.approx(1.0, abs=0.02)
        for group in verdict.groups:
            assert 0 <= group.slip <= 1
            whole = sum(one.chance for one in group.suspects)
            assert whole == pytest.approx(group.chance, abs=1e-6)
            assert all(isfinite(one.weight) for one in group.evidence)
        ranked = [group.chance for group in verdict.groups]
        assert ranked == sorted(ranked, reverse=True)


def test_the_likeliest_value_lies_in_its_range() -> None:
    verdict = judged(taken((Tie("COM", "GD", 200.0),), seed=7))
    for group in verdict.groups:
        for one in group.suspects:
            if one.value is not None:
                assert (one.low or inf) <= one.value <= (one.high or 0.0)


def test_an_inquiry_asked_again_says_the_same() -> None:
    """What it keeps from one question to the next changes no answer."""
    lines = ("D1 diode A -> COM", "R1 4k7 A -- B", "Q1 npn b=B c=A e=COM")
    ask, logs = small(*lines), []
    for volts in (0.6, 0.12):
        readings = [
            Reading("A", "COM", D, volts, 1e-3),
            Reading("B", "COM", D, 0.64, 1e-3),
        ]
        logs.append(with_readings(ask.stage, readings))
    kept = [ask.verdict(log) for log in logs]
    fresh = [small(*lines).verdict(log) for log in logs]
    assert kept[0].words != kept[1].words
    for one, other in zip(kept, fresh, strict=True):
        assert one.words == other.words
        assert one.healthy == pytest.approx(other.healthy, abs=1e-6)
        assert members(one.groups[0])[0] == members(other.groups[0])[0]
