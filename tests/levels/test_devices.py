"""How devices stand, what they bear, and who empties a gate."""

import pytest

from tests.levels.told import in_state
from tracegraph.levels.device import Device, Mood
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


def test_the_helper_empties_the_gate_and_the_pull_down_takes_the_rest() -> None:
    last = in_state(HELPER, "off").walk[-1]
    assert last.startswith("As it turns off, Q2 empties the gate of Q3 through R3, ")
    assert last.endswith(" at first; R4 takes the rest.")


def test_without_the_helper_only_the_pull_down_is_left() -> None:
    text = HELPER.replace("Q2 pnp b=DRV e=N c=COM\n", "")
    assert in_state(text, "off").walk[-1] == (
        "As it turns off, only R4 empties the gate of Q3."
    )
