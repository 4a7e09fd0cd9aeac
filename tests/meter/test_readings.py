"""Readings as the bench knows them, each from a few lines of notation."""

from collections.abc import Callable

import pytest

from tracegraph.meter.expect import Probe, UnknownPointError, expect
from tracegraph.meter.expected import Bound, Expected
from tracegraph.meter.profile_file import built_in
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode

HANDHELD = built_in()["handheld"]


def reading(text: str, red: str, black: str, mode: Mode = Mode.DIODE) -> Expected:
    """Return the expected reading of a section given as text."""
    stage = read(from_text("bench", text))
    assert not [one for one in stage.problems if one.severity == "error"]
    return expect(stage, [Probe(red, black, mode)], HANDHELD)[0]


JUNCTION = "ground COM\nD1 diode A -> COM vf=0.60V@1mA slope=60mV\nR1 {} A -- COM\n"


@pytest.mark.parametrize(
    ("resistor", "volts"),
    [("100R", 0.10), ("330R", 0.33), ("560R", 0.53), ("1k", 0.58), ("10k", 0.598)],
)
def test_a_resistor_across_a_junction_bends_the_diode_test(
    resistor: str, volts: float
) -> None:
    # Meter of constant 1 mA, junction of 60 mV a decade: common practice, no source.
    answer = reading(JUNCTION.format(resistor), "A", "COM")
    assert answer.typical == pytest.approx(volts, abs=0.005)
    assert answer.low is not None
    assert answer.high is not None
    assert answer.low < volts < answer.high


def test_a_bare_560r_reads_the_same_both_ways() -> None:
    text = "ground COM\nR1 560R A -- COM\n"
    forward, backward = reading(text, "A", "COM"), reading(text, "COM", "A")
    assert forward.typical == backward.typical == pytest.approx(0.560, abs=0.002)


def test_a_good_small_junction_shows_one_way_and_nothing_the_other() -> None:
    # 0.6-0.7 V one way, OL the other: common practice, no source.
    text = "ground COM\nQ1 npn b=B c=C e=COM\n"
    assert 0.6 <= (reading(text, "B", "COM").typical or 0) <= 0.72
    assert reading(text, "COM", "B").display == "OL"


def test_a_diode_in_a_low_ohm_loop_reads_short_both_ways_and_that_is_normal() -> None:
    # 50 and 10 ohm round a diode: common practice, no source.
    text = "ground COM\nD1 diode A -> COM\nR1 50R A -- N\nR2 10R N -- COM\n"
    for red, black in (("A", "COM"), ("COM", "A")):
        answer = reading(text, red, black)
        assert answer.typical == pytest.approx(0.060, abs=0.004)
        assert answer.reason == "R1 50 Ω + R2 10 Ω"
        assert "D1" in answer.unproven
    assert reading(text, "A", "COM", Mode.BEEP).display == "no beep"


def test_a_10k_pull_down_under_a_2k2_path_reads_1_80k() -> None:
    text = "ground COM\nR1 10k A -- COM\nR2 2k2 A -- COM\n"
    answer = reading(text, "A", "COM", Mode.OHMS)
    assert answer.typical == pytest.approx(1803, abs=2)
    assert answer.display == "1.8 k"
    assert set(answer.parts) == {"R1", "R2"}
    assert answer.bound is Bound.NONE


GATE = """\
ground COM
rail   P12  12V 5%
{rest}
input  PWM  0V / 5V  via 220R  18kHz  45%
nothing on PWM
R11  1k   5%   PWM -- B1
R12  12k       B1 -- COM
Q11  npn       b=B1 c=N1 e=COM
R13  1k        P12 -- N1
D11  diode     N1 -> DRV  vf=0.60V@1mA slope=60mV
Q12  pnp       b=N1 e=DRV c=COM
R14  47R       DRV -- GATE   marked "470"
C11  2n2       GATE -- COM
R15  12k       GATE -- COM
Q13  nfet      g=GATE d=SW s=COM  vgsth=3V ciss=1n2
"""


def test_what_hangs_on_a_cold_rail_is_asked_for() -> None:
    answer = reading(GATE.format(rest=""), "GATE", "COM")
    shown = {case.display for case in answer.cases}
    assert "OL" in shown
    numbers = sorted(float(one.split()[0]) for one in shown if one != "OL")
    assert numbers[0] == pytest.approx(0.72, abs=0.02)
    assert numbers[-1] == pytest.approx(1.15, abs=0.04)
    assert answer.typical is None
    assert answer.bound is Bound.ANYTHING
    assert "P12-COM" in answer.ask
    assert "rest P12 -- COM" in answer.ask


def test_a_rest_of_1k8_turns_the_helper_on() -> None:
    answer = reading(GATE.format(rest="rest P12 -- COM 1k8"), "GATE", "COM")
    assert answer.typical == pytest.approx(0.72, abs=0.015)
    assert not answer.uncertain
    assert "Q12" in answer.reason


def test_a_rail_with_nothing_on_it_leaves_the_helper_off() -> None:
    answer = reading(GATE.format(rest="rest P12 -- COM none"), "GATE", "COM")
    assert answer.display == "OL"
    assert answer.typical is None
    assert answer.may_be_open
    assert answer.early == ""


def test_10uf_on_the_rail_shows_a_junction_at_first() -> None:
    text = GATE.format(rest="rest P12 -- COM none") + "C12 10u P12 -> COM\n"
    answer = reading(text, "GATE", "COM")
    # 0.7 V as the helper turns on, then half a volt a second: 5 uA into 10 uF.
    first, after = (float(one.split()[0]) for one in answer.early.split(", ")[:2])
    assert first == pytest.approx(0.8, abs=0.05)
    assert after == pytest.approx(1.16, abs=0.08)
    assert answer.early.endswith(": C12")
    assert ", OL after " in answer.early
    assert answer.settles == pytest.approx(2.8, abs=0.25)


LOOP = "ground E\nQ1 npn b=B c=C e=E vbe=0.65V@1mA hfe=200\nR1 10k C -- B\n{}\n"


@pytest.mark.parametrize(
    ("path", "display"),
    [("", 0.70), ("R2 10k B -- E", 1.35), ("R2 2k2 B -- E", None)],
)
def test_a_path_across_the_base_can_raise_a_reading(
    path: str, display: float | None
) -> None:
    answer = reading(LOOP.format(path), "C", "E")
    if display is None:
        assert answer.display == "OL"
    else:
        assert answer.typical == pytest.approx(display, abs=0.01)


def test_an_unread_path_across_the_base_leaves_no_bound() -> None:
    answer = reading(LOOP.format("R2 ? B -- E"), "C", "E")
    assert answer.bound is Bound.ANYTHING
    assert answer.may_be_open
    assert answer.low is not None
    assert answer.low < 0.70
    assert any("R2" in one for one in answer.uncertain)


def test_an_unread_resistor_can_only_lower_a_linear_reading() -> None:
    answer = reading("ground G\nR1 10k A -- G\nR2 ? A -- G\n", "A", "G", Mode.OHMS)
    assert answer.bound is Bound.AT_MOST
    assert answer.high is not None
    assert answer.high == pytest.approx(10_500, rel=0.02)
    assert answer.typical is None


def test_an_unknown_net_is_answered_with_the_likely_one() -> None:
    with pytest.raises(UnknownPointError, match="did you mean GATE"):
        reading(GATE.format(rest=""), "GTAE", "COM")


@pytest.fixture(name="every")
def _every() -> Callable[[str], list[Expected]]:
    def ask(text: str) -> list[Expected]:
        stage = read(from_text("bench", text))
        nets = list(stage.nets)
        probes = [
            Probe(a, b, mode)
            for a in nets
            for b in nets
            if a != b
            for mode in (Mode.OHMS, Mode.DIODE, Mode.BEEP)
        ]
        return list(expect(stage, probes, HANDHELD))

    return ask


def test_every_answer_holds_its_own_typical(
    every: Callable[[str], list[Expected]],
) -> None:
    for answer in every(GATE.format(rest="rest P12 -- COM 1k8")):
        assert not answer.error
        if answer.typical is not None and answer.low is not None:
            assert answer.high is not None
            assert answer.low <= answer.typical <= answer.high
            assert answer.worst_low is not None
            assert answer.worst_high is not None
            assert answer.worst_low <= answer.low
            assert answer.high <= answer.worst_high


def test_the_shares_of_all_cases_make_one() -> None:
    answer = reading(GATE.format(rest=""), "GATE", "COM")
    assert sum(case.share for case in answer.cases) == pytest.approx(1.0)
    assert answer.cases[0].share == max(case.share for case in answer.cases)


def test_an_unknown_pinout_is_tried_in_every_order() -> None:
    text = "ground E\nQ1 npn ? 1=A 2=B 3=E\nR1 100k A -- B\n"
    answer = reading(text, "A", "E")
    assert answer.typical is None
    assert answer.may_be_open
    assert any("pinout of Q1" in one for one in answer.uncertain)
    assert "find Q1's pinout" in answer.ask


def test_a_chip_of_unknown_inside_is_two_boards() -> None:
    answer = reading("ground G\nU1 ic 1=A gnd=G\nR1 47k A -- G\n", "G", "A")
    shown = {case.display: case for case in answer.cases}
    assert len(shown) == 2
    assert "OL" in shown
    assert any("the inside of U1" in case.why for case in answer.cases)


def test_an_untraced_net_can_only_read_lower_in_ohms() -> None:
    text = "ground G\nR1 10k A -- G\nR2 10k A -- B\nnot traced B\n"
    answer = reading(text, "A", "G", Mode.OHMS)
    assert answer.bound is Bound.AT_MOST
    assert answer.high == pytest.approx(10_620, rel=0.02)
    assert answer.low is not None
    assert answer.low < 5_200


def test_an_untrusted_beep_is_a_wire_or_forty_ohm() -> None:
    answer = reading(
        "ground G\nR1 100R A -- G\nlink A B ?\nR2 100R B -- G\n", "A", "G", Mode.OHMS
    )
    displays = sorted(case.low or 0 for case in answer.cases)
    assert displays[0] == pytest.approx(46, abs=4)
    assert displays[-1] == pytest.approx(55, abs=5)


def test_a_floating_gate_is_to_be_emptied_first() -> None:
    answer = reading("ground S\nQ1 nfet g=G d=D s=S\nC1 1n G -- S\n", "D", "S")
    assert "join gate and source of Q1 first" in answer.ask


def test_a_window_goes_on_past_the_range_that_the_meter_rests_on() -> None:
    answer = reading("ground G\nR1 590R 10% A -- G\n", "A", "G", Mode.OHMS)
    assert answer.high is not None
    assert answer.high > 630
    assert not answer.may_be_open


def test_a_net_called_by_a_pin_of_an_unknown_pinout_keeps_its_name() -> None:
    text = "ground G\nQ5 npn ? 1=Q5.1 2=B 3=G\nR1 10k Q5.1 -- G\nR2 1k B -- Q5.1\n"
    for way in (("Q5.1", "B"), ("B", "Q5.b"), ("B", "G")):
        answer = reading(text, *way)
        assert not answer.error
        assert any("pinout of Q5" in one for one in answer.uncertain)


def test_a_net_marked_before_anything_hangs_on_it_stops_no_answer() -> None:
    answer = reading("ground G\nR1 1k A -- G\nnot traced GATE\n", "A", "G", Mode.OHMS)
    assert answer.display == "1 k"
