"""Which states are told, and what is said where there is more or less than one answer."""

import pytest

from tests.levels.told import METER, in_state, level, section, told
from tracegraph.levels.levels import levels
from tracegraph.stage.state import StateError

SWITCH = """
ground GND
rail P12 12V
input PWM 0V / 5V via 100R
R1 10k PWM -- B
Q1 npn b=B c=OUT e=GND
R2 1k P12 -- OUT
"""
LATCH = """
ground GND
rail P5 5V
R1 1k P5 -- A
R2 1k P5 -- B
R3 10k A -- BB
R4 10k B -- BA
Q1 npn b=BA c=A e=GND
Q2 npn b=BB c=B e=GND
"""
SWING = """
ground GND
rail P5 5V
U1 comparator out=OUT in+=REF in-=RAMP vcc=P5 gnd=GND
R1 1k P5 -- OUT
R2 10k P5 -- REF
R3 10k REF -- GND
R4 10k OUT -- REF
R5 10k OUT -- RAMP
C1 100n RAMP -- GND
"""


def test_inputs_without_states_are_tried_in_every_combination() -> None:
    assert [one.state.name for one in told(SWITCH).states] == ["PWM=low", "PWM=high"]
    assert level(SWITCH, "PWM=low", "OUT").volts == pytest.approx(12.0, abs=0.01)
    assert level(SWITCH, "PWM=high", "OUT").volts == pytest.approx(0.05, abs=0.08)


def test_five_inputs_are_told_sixteen_times_and_the_rest_is_counted() -> None:
    lines = [f"input I{k} 0V / 5V via 1k\nR{k} 1k I{k} -- S" for k in range(5)]
    found = told("ground GND\nR9 1k S -- GND\n" + "\n".join(lines))
    assert len(found.states) == 16
    assert found.left_out == 16


def test_a_state_that_is_not_declared_is_refused_by_name() -> None:
    with pytest.raises(StateError, match="there is no state stpo"):
        levels(section(SWITCH + "state run PWM=high\n"), METER, "stpo")


def test_a_latch_rests_in_two_ways_and_both_are_told() -> None:
    found = in_state(LATCH, "powered")
    assert any("rest in 2 ways" in one for one in found.remarks)
    one = level(LATCH, "powered", "A")
    both = sorted([one.volts or 0.0, *one.others])
    # one side saturated, the other lifted through R1 into 10 k and a base
    assert both[0] == pytest.approx(0.03, abs=0.05)
    assert both[1] == pytest.approx(4.6, abs=0.2)


def test_a_relaxation_oscillator_is_said_to_swing() -> None:
    found = in_state(SWING, "powered")
    assert any("never comes to rest" in one for one in found.remarks)


def test_a_comparator_inside_its_hysteresis_rests_in_two_ways() -> None:
    # in+ moves by 10k || 10k over 10k + that: a third of 5 V; 2.5 V lies between
    text = SWING.replace("R5 10k OUT -- RAMP\nC1 100n RAMP -- GND", "rail RAMP 2.5V")
    outs = level(text, "powered", "OUT")
    assert len({round(one) for one in (outs.volts or 0.0, *outs.others)}) == 2


def test_a_trip_memory_of_two_transistors_holds_itself() -> None:
    # held: 10k from 12 V into a base of 0.7 V, of which 5k to ground take 0.14 mA
    text = """
ground GND
rail P12 12V
input TRIP 0V / 5V
R1 10k TRIP -- B1
R2 10k B1 -- GND
Q1 npn b=B1 c=C1 e=GND
R3 10k P12 -- B2
R4 4k7 B2 -- C1
Q2 pnp b=B2 e=P12 c=C2
R5 10k C2 -- B1
R6 1k C2 -- GND
"""
    out = level(text, "TRIP=low", "C2")
    one, other = sorted([out.volts or 0.0, *out.others])
    assert one == pytest.approx(0.0, abs=0.01)
    assert other == pytest.approx(12.0, abs=0.1)
    assert level(text, "TRIP=high", "C2").others == ()


def test_both_ways_are_found_without_another_state_to_begin_from() -> None:
    # 10k and 10k to 2.5 V, 100k to an output held at an LED's volts or pulled low
    text = """
ground GND
rail P5 5V
rail S 2.42V
R1 10k P5 -- REF
R2 10k REF -- GND
R3 100k REF -- OUT
R4 10k P5 -- OUT
U1 comparator out=OUT in+=REF in-=S vcc=P5 gnd=GND
R6 1k OUT -- L
D1 led L -> GND
"""
    out = level(text, "powered", "OUT")
    one, other = sorted([out.volts or 0.0, *out.others])
    assert one == pytest.approx(0.03, abs=0.05)
    assert other == pytest.approx(2.0, abs=0.2)


def test_what_rests_in_two_ways_keeps_its_windows() -> None:
    text = LATCH.replace("rail P5 5V", "rail P5 5V 5%")
    rail = level(text, "powered", "P5")
    assert (rail.low, rail.high) == pytest.approx((4.72, 5.28), abs=0.06)
    side = level(text, "powered", "A")
    assert side.low == pytest.approx(0.02, abs=0.02)
    assert side.high == pytest.approx(4.9, abs=0.2)


def test_a_driver_without_supply_is_locked_out() -> None:
    text = """
ground GND
rail P15 15V
input PWM 0V / 5V via 100R
U1 driver in=PWM out=OUT gnd=GND vcc=P15 uvlo=9V
R1 10k OUT -- GND
state on PWM=high
state weak PWM=high P15=7V
"""
    assert level(text, "on", "OUT").volts == pytest.approx(14.9, abs=0.1)
    assert level(text, "weak", "OUT").volts == pytest.approx(0.1, abs=0.1)
    (driver,) = in_state(text, "weak").devices
    assert "locked out: 7 V of supply, it wants 9 V" in driver.words


def test_a_relay_that_the_state_sets_on_with_nothing_on_its_coil_is_asked_about() -> (
    None
):
    text = """
ground GND
rail P12 12V
input GO 0V / 5V via 100R
R1 2k2 GO -- B
Q1 npn b=B c=COIL e=GND
K1 relay 270R a1=P12 a2=COIL com=L no=M
state heat GO=low K1=on
"""
    (remark,) = in_state(text, "heat").remarks
    assert remark == "the state sets K1 on, but there is nothing across its coil"
