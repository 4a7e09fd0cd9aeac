"""How devices stand, what they bear, and who empties a gate."""

import pytest

from tests.levels.told import in_state, level
from tracegraph.levels.mood import Device, Mood
from tracegraph.levels.stress import Load

BURNS = """
ground GND
rail P12 12V
R1 10R 5W P12 -- C
Q1 npn b=C c=C e=GND
"""
HELPER = """
ground COM
rail P12 12V
input PWM 0V / 12V via 100R
R1 100R PWM -- DRV
D1 diode DRV -> N
Q2 pnp b=DRV e=N c=COM
R3 10R N -- GATE
R4 10k GATE -- COM
R5 1k DRV -- COM
Q3 nfet g=GATE d=D s=COM vgsth=3V
R6 1k P12 -- D
state on PWM=high
state off PWM=low
"""


def device(text: str, state: str, ref: str) -> Device:
    return next(one for one in in_state(text, state).devices if one.ref == ref)


def load(text: str, state: str, ref: str, unit: str) -> Load:
    loads = in_state(text, state).loads
    return next(one for one in loads if one.ref == ref and one.unit == unit)


def test_a_transistor_with_its_base_tied_to_its_collector_burns() -> None:
    watts = load(BURNS, "powered", "Q1", "W")
    assert watts.value == pytest.approx(1.12 * 0.8, rel=0.2)  # 1.1 A at about 0.8 V
    assert watts.over
    assert "over what is usual of 0.3 W" in watts.text


def test_an_overdriven_transistor_is_saturated_many_times_over() -> None:
    text = (
        "ground G\nrail P5 5V\nR1 1k P5 -- B\nR2 1k P5 -- C\nQ1 npn b=B c=C e=G hfe=100"
    )
    found = device(text, "powered", "Q1")
    assert found.mood is Mood.SATURATED
    # (5 - 0.72) V / 1k of base against (5 - 0.02) V / 1k of collector, gain 100
    assert found.drive == pytest.approx(100 * 4.28 / 4.98, rel=0.03)


@pytest.mark.parametrize(
    ("volts", "mood"), [("0V", Mood.OFF), ("3V", Mood.HALF), ("12V", Mood.ON)]
)
def test_a_gate_is_told_by_its_threshold(volts: str, mood: Mood) -> None:
    text = f"ground G\nrail P12 12V\nrail GT {volts}\nR1 100R P12 -- D\nQ1 nfet g=GT d=D s=G vgsth=3V"
    assert device(text, "powered", "Q1").mood is mood


def test_a_controller_pin_that_gives_too_much_is_named() -> None:
    # 20 mA at most: common practice, no source
    text = "ground G\ninput PWM 0V / 5V via 50R\nR1 100R PWM -- G\nstate on PWM=high"
    amps = load(text, "on", "PWM", "A")
    assert amps.value == pytest.approx(5 / 150, rel=0.01)
    assert amps.over


def test_a_zener_clamps_and_is_held_against_its_watts() -> None:
    text = "ground G\nrail P24 24V\nR1 100R P24 -- Z\nD1 zener 12V 0.5W G -> Z"
    assert device(text, "powered", "D1").mood is Mood.CLAMPS
    assert load(text, "powered", "D1", "W").over  # 12 V at 0.12 A


def test_outputs_in_parallel_empty_a_gate_together() -> None:
    text = """
ground GND
rail P12 12V
input A 0V / 5V via 100R
U1.A driver in=A out=O
U1.B driver in=A out=O
supply U1 vcc=P12 gnd=GND
R1 10R O -- G
R2 10k G -- GND
Q1 nfet g=G d=D s=GND
R3 100R P12 -- D
state on A=high
state off A=low
"""
    # 11.9 V on 10R and two outputs of 5R each in parallel
    said = in_state(text, "off").walk[-1]
    assert "U1.A and U1.B empty the gate of Q1 through R1, 9" in said
    assert "mA at first" in said


def test_the_helper_empties_the_gate_and_the_pull_down_takes_the_rest() -> None:
    last = in_state(HELPER, "off").walk[-1]
    assert last.startswith("As it turns off, Q2 empties the gate of Q3 through R3, ")
    assert last.endswith(" at first; R4 takes the rest.")


def test_without_the_helper_only_the_pull_down_is_left() -> None:
    text = HELPER.replace("Q2 pnp b=DRV e=N c=COM\n", "")
    assert in_state(text, "off").walk[-1] == (
        "As it turns off, only R4 empties the gate of Q3."
    )


CROWBAR = """
ground GND
rail RAW 20V
R1 1R 5W RAW -- F
F1 fuse 3A F -- P12
D1 zener 15V TR -> P12
R2 100R TR -- GND
Q1 scr a=P12 k=GND g=TR
state over RAW=20V
state fired RAW=20V Q1=on
"""


def test_a_thyristor_whose_gate_gets_amperes_is_said_to_fire() -> None:
    # 20 V less 15 V less a gate of 0.9 V, over 1R and what the zener drops
    (remark,) = in_state(CROWBAR, "over").remarks
    assert remark.startswith("Q1 fires: 3.")
    assert "Q1=on in the state tells those after" in remark
    assert device(CROWBAR, "fired", "Q1").mood is Mood.ON
    amps = load(CROWBAR, "fired", "F1", "A")
    assert amps.value == pytest.approx((20 - 1.0) / 1.1, rel=0.1)
    assert amps.over


def test_a_gate_that_gets_nothing_leaves_its_thyristor_blocking() -> None:
    text = CROWBAR.replace("RAW=20V", "RAW=12V")
    assert device(text, "over", "Q1").mood is Mood.OFF
    assert in_state(text, "over").remarks == ()


BUMPED = """
ground GND
rail P12 12V
input A 0V / 12V via 100R
R1 10R A -- G
Q1 nfet g=G d=D s=GND rating 55V 40A
T1.p1 winding D -- P12 5 turns 0R01
state on A=high
"""


def test_a_primary_held_on_is_called_a_wire_and_its_rail_dragged_down() -> None:
    remarks = in_state(BUMPED, "on").remarks
    assert any(one.startswith("P12 is dragged down from 12 V to") for one in remarks)
    assert any(one.startswith("T1.p1 is but a wire at rest") for one in remarks)


def test_an_open_gate_with_too_much_to_carry_is_not_called_half_on() -> None:
    words = device(BUMPED, "on", "Q1").words
    assert words.startswith("on, but asked for more than it carries")
    assert "half on" not in words


def test_a_base_on_a_rail_gets_no_figure_that_says_nothing() -> None:
    text = "ground G\nrail P5 5V\nR1 1k P5 -- C\nQ1 npn b=P5 c=C e=G"
    assert "far more than 1000 times" in device(text, "powered", "Q1").words


def test_a_p_channels_gate_and_threshold_are_told_with_the_same_sign() -> None:
    text = """
ground G
rail P24 24V
R1 10k P24 -- GT
R2 10k GT -- G
Q1 pfet g=GT d=OUT s=P24 vgsth=-3V rating -60V -20A
R3 100R OUT -- G
"""
    words = device(text, "powered", "Q1").words
    assert "gate -12 V against a threshold of -2.2 V to -3.8 V" in words
    assert level(text, "powered", "OUT").volts == pytest.approx(24.0, abs=0.1)
    limits = [one.limit for one in in_state(text, "powered").loads if one.ref == "Q1"]
    assert sorted(limits) == [20, 20, 60]  # amperes and gate volts, and its rating
