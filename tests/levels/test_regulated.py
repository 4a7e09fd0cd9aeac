"""What regulators give: with their supply, with too little, and with none."""

import pytest

from tests.levels.told import in_state, level

SUPPLY = """
ground GND
rail VIN 24V
U1 regulator 5V in=VIN out=P5 gnd=GND
R1 470R P5 -- GND
U2 regulator 3.3V in=P5 out=P33 gnd=GND
R2 330R P33 -- GND
state on VIN=24V
state low VIN=6V
state off VIN=0V
"""
FEEDBACK = """
ground SEC
rail VO 17V
R1 18k 1% VO -- REF
R2 2k7 1% REF -- SEC
U1 shuntreg k=K a=SEC ref=REF
R3 1k VO -- K
"""


def test_regulators_behind_each_other_give_their_volts() -> None:
    assert level(SUPPLY, "on", "P5").volts == pytest.approx(5.0, abs=0.02)
    # a 3.3 V one wants 1.1 to 1.3 V over its output: common practice, no source
    assert level(SUPPLY, "on", "P33").volts == pytest.approx(3.3, abs=0.02)


def test_a_regulator_with_too_little_at_its_input_says_so() -> None:
    # 2 V stay across an older one: common practice, no source
    assert level(SUPPLY, "low", "P5").volts == pytest.approx(4.0, abs=0.05)
    (said,) = [one for one in in_state(SUPPLY, "low").walk if one.startswith("U1")]
    assert said.startswith("U1 gives only 3.9")
    assert "instead of 5 V: 6 V at its input" in said


def test_a_regulator_without_supply_gives_nothing_and_takes_nothing() -> None:
    assert level(SUPPLY, "off", "P5").volts == pytest.approx(0.0, abs=1e-3)
    assert level(SUPPLY, "off", "P33").volts == pytest.approx(0.0, abs=1e-3)
    (said, _) = [one for one in in_state(SUPPLY, "off").walk if one[0] == "U"]
    assert said.startswith("U1 gives nothing instead of 5 V: 0 V at its input")


def test_a_shunt_regulator_under_its_reference_says_how_far() -> None:
    # 17 V * 2.7 / 20.7 = 2.22 V
    (said,) = [one for one in in_state(FEEDBACK, "powered").walk if one[0] == "U"]
    assert said.startswith("U1 takes nothing: 2.22 V at its reference, and it wants 2.")
