"""Volts of the powered board count: they find parts, and condemn none of a healthy one."""

from collections.abc import Callable
from functools import cache

import pytest

from tests.diagnose.powered import LiveBench, level
from tests.diagnose.simulated import HANDHELD, Bench, with_readings
from tests.diagnose.treadmill import TREADMILL, D, O, inquiry, judged, members
from tracegraph.asking.logbook.files import text_of
from tracegraph.asking.logbook.logs import with_texts
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Sort, State, Verdict
from tracegraph.notation.source import from_text
from tracegraph.stage.change import Change, Cut, Tie
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Reading
from tracegraph.views.plain import plain_text
from tracegraph.views.suspects_page import suspects_page

Golden = Callable[[str, str], None]

DRIVE = (
    ("GATE", "COM", "run"),
    ("DRV", "COM", "run"),
    ("PULL", "COM", "run"),
    ("GATE", "COM", "stop"),
    ("DRV", "COM", "stop"),
)
"""Five levels along the drive, in both states."""
LEAKY: tuple[Change, ...] = (Tie("COM", "GD", 40.0),)


@cache
def live(changes: tuple[Change, ...], seed: int) -> tuple[Reading, ...]:
    return tuple(LiveBench(TREADMILL, changes, seed=seed).log(DRIVE))


def chance_of(verdict: Verdict, words: str) -> float:
    """Return how likely a suspect is, and all that reads the same."""
    return max(
        (
            one.chance
            for group in verdict.groups
            for one in group.suspects
            if one.words.startswith(words)
        ),
        default=0.0,
    )


@pytest.mark.parametrize("seed", [1, 2])
def test_healthy_levels_condemn_nobody(seed: int) -> None:
    verdict = judged(live((), seed))
    assert verdict.state is State.HEALTHY
    assert verdict.healthy > 0.9
    assert (verdict.odd, verdict.left, verdict.supply) == ((), (), ())


def test_levels_worked_out_by_hand_are_healthy() -> None:
    """The `# level` lines of the example: a drop of 0.65 V, a saturated Q21 at 0.1 V."""
    readings = [
        level("DRV", "COM", 14.9, "run"),
        level("GATE", "COM", 14.3, "run"),
        level("PULL", "COM", 0.1, "run"),
        level("DRV", "COM", 0.0, "stop"),
        level("GATE", "COM", 0.0, "stop"),
    ]
    assert judged(readings).state is State.HEALTHY


@pytest.mark.parametrize("seed", [1, 2])
def test_a_leaky_helper_is_found_from_volts_alone(seed: int) -> None:
    """A leaky turn-off transistor: the gate never reaches the rail (common practice)."""
    bench = LiveBench(TREADMILL, LEAKY, seed=seed)
    readings = bench.log((*DRIVE, ("V15", "COM", "run"), ("GD", "COM", "run")))
    assert float(readings[0].shown) < 10.0
    verdict = judged(readings)
    assert verdict.healthy < 0.01
    top = verdict.groups[0]
    found = next(one for one in top.suspects if one.words.startswith("Q23 leaky c-e"))
    assert found.low is not None
    assert found.high is not None
    assert found.low < 45.0  # the gain of Q22 decides how much it is
    assert found.high > 20.0
    assert "volts in run" in top.evidence[0].words
    assert "too low" in top.evidence[0].words


def test_cold_and_live_readings_together_beat_either() -> None:
    cold = Bench(TREADMILL, LEAKY, seed=1).log((("GATE", "COM", O), ("COM", "GATE", D)))
    warm = live(LEAKY, 1)
    helper, both = "Q23 leaky c-e", judged([*cold, *warm])
    assert chance_of(both, helper) > chance_of(judged(cold), helper)
    assert chance_of(both, helper) > chance_of(judged(warm), helper)


def test_an_open_bias_resistor_shows_under_the_voltmeter() -> None:
    """With R24 open the meter itself draws Q22's base down: half a volt at PB."""
    asked = [("PB", "COM", "stop"), ("V15", "PB", "stop"), ("V15", "COM", "stop")]
    cut = (Cut(Pin("R24", "1")),)
    verdict = judged(LiveBench(TREADMILL, cut, seed=2).log(asked))
    assert verdict.state is State.FOUND
    assert members(verdict.groups[0])[0] == "R24 open"


def test_no_base_drive_points_to_the_input_transistor() -> None:
    cut = (Cut(Pin("Q21", "b")),)
    verdict = judged(live(cut, 1))
    assert verdict.state is State.FOUND
    assert "Q21 open at b" in members(verdict.groups[0])
    assert chance_of(verdict, "Q22") < 0.05


# A supply that is not there.


def test_a_rail_that_reads_nothing_condemns_no_part() -> None:
    readings = [
        level("V15", "COM", 0.02, "run"),
        level("DRV", "COM", 0.0, "run"),
        level("GATE", "COM", 0.0, "run"),
        level("PULL", "COM", 0.0, "stop"),
    ]
    verdict = judged(readings)
    assert verdict.state is State.OPEN
    assert verdict.healthy > 0.9
    assert verdict.supply == ("the rail V15 is not there in run: 0.02 V, not 15 V",)
    assert "find out why before any part is condemned" in verdict.words


def test_a_rail_that_nobody_has_read_is_read_before_a_part_is_condemned() -> None:
    readings = [
        level("DRV", "COM", 0.0, "run"),
        level("GATE", "COM", 0.0, "run"),
        level("PULL", "COM", 0.0, "stop"),
    ]
    verdict = judged(readings)
    top = verdict.groups[0]
    assert top.suspects[0].sort is Sort.SUPPLY
    assert verdict.words.startswith("read V15 itself before any part is condemned")


def test_a_low_rail_lowers_what_hangs_on_it() -> None:
    readings = [
        level("GATE", "COM", 8.4, "run"),
        level("DRV", "COM", 8.96, "run"),
        level("V15", "COM", 9.0, "run"),
    ]
    verdict = judged(readings)
    assert verdict.odd == ()
    assert "stands at 9 V in run, not at 15 V" in verdict.words


def test_a_rail_within_its_tolerance_is_no_matter() -> None:
    assert judged([level("V15", "COM", 14.4, "run")]).supply == ()


# What says nothing.

CHIP = """\
ground COM
rail P5 5V
rest P5 -- COM none
U1 ic  1=OUT vcc=P5 gnd=COM
R1 10k OUT -- SENSE
R2 10k SENSE -- COM
R3 4k7 P5 -- REF
R4 4k7 REF -- COM
state on P5=5V
"""
LATCH = """\
ground COM
rail P5 5V
rest P5 -- COM none
R1 1k  P5 -- A
R2 1k  P5 -- B
R3 10k A -- BB
R4 10k B -- BA
Q1 npn b=BA c=A e=COM
Q2 npn b=BB c=B e=COM
state on P5=5V
"""


def of(text: str, *readings: Reading) -> Verdict:
    stage = read(from_text("x", text))
    return Inquiry(stage, HANDHELD).verdict(with_readings(stage, readings))


def test_what_an_unknown_chip_drives_is_no_evidence() -> None:
    verdict = of(CHIP, level("SENSE", "COM", 2.4, "on"), level("REF", "COM", 2.5, "on"))
    (left,) = verdict.left
    assert left.reading.red == "SENSE"
    assert left.why == "what drives U1.1 under power is not in the file"
    assert [one.red for one in verdict.readings] == ["REF"]
    assert verdict.state is State.HEALTHY


@pytest.mark.parametrize(("a", "b"), [(0.02, 4.6), (4.6, 0.02)])
def test_a_latch_may_stand_either_way(a: float, b: float) -> None:
    """Either side of a flip-flop may be the one that conducts (any textbook)."""
    verdict = of(LATCH, level("A", "COM", a, "on"), level("B", "COM", b, "on"))
    assert verdict.state is State.HEALTHY
    assert verdict.odd == ()


def test_a_latch_cannot_stand_both_ways() -> None:
    verdict = of(LATCH, level("A", "COM", 4.6, "on"), level("B", "COM", 4.6, "on"))
    assert verdict.state is not State.HEALTHY
    assert verdict.odd


DIVIDER = """\
ground COM
rail P5 5V
rest P5 -- COM none
R1 10k P5 -- HALF
R2 10k HALF -- COM
R3 10k P5 -- OTHER
R4 10k OTHER -- COM
state on P5=5V
"""


def test_a_swapped_voltmeter_is_told() -> None:
    swapped = level("HALF", "COM", -2.5, "on")
    verdict = of(DIVIDER, swapped, level("OTHER", "COM", 2.49, "on"))
    (found,) = verdict.doubtful
    assert "swapped" in found.words
    assert "volts in on" in found.words


def test_volts_in_a_table_count() -> None:
    table = (
        "red,black,mode,reading\nGATE,COM,volts,7.46 in run\n"
        "DRV,COM,volts,8.30 in run\nGATE,COM,volts,0.00 in stop\n"
    )
    logged = with_texts(TREADMILL, [text_of("live.csv", table.encode())])
    assert [one.problems for one in logged.told] == [()]
    verdict = inquiry().verdict(logged.stage)
    assert len(verdict.readings) == 3
    assert chance_of(verdict, "Q23 leaky c-e") > 0.01
    assert verdict.healthy < 0.05


def test_a_verdict_that_sends_to_the_live_board_cautions(golden: Golden) -> None:
    readings = [
        level("V15", "COM", 0.02, "run"),
        level("DRV", "COM", 0.0, "run"),
        level("GATE", "COM", 0.0, "run"),
    ]
    text = plain_text(suspects_page("treadmill gate drive", judged(readings)))
    assert "CAUTION" in text
    golden("diagnose/suspects-no-rail.txt", text)
