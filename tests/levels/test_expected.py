"""Volts between two points of a powered section, asked as any other reading."""

import pytest

from tests.levels.told import METER, section
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.expected import Expected
from tracegraph.stage.reading import AS_IT_LIES, Mode

DIVIDER = """
ground GND
rail P12 12V 5%
R1 1M P12 -- MID
R2 1M MID -- GND
J1 connector 1=LOOSE
C1 100n LOOSE -- GND
R3 ? P12 -- ODD
R4 10k ODD -- GND
state up P12=12V
"""


def asked(red: str, black: str, power: str = "up") -> Expected:
    condition = AS_IT_LIES._replace(power=power)
    return expect(section(DIVIDER), [Probe(red, black, Mode.VOLTS)], METER, condition)[
        0
    ]


def test_a_divider_of_megohms_reads_what_the_meter_leaves() -> None:
    found = asked("MID", "GND")
    assert found.typical == pytest.approx(12 / 2 * 10 / 10.5, rel=1e-3)
    assert found.low is not None
    assert found.high is not None
    assert found.low < 12 / 2 * 10 / 10.5 < found.high
    assert found.reason.startswith("6 V without the meter")


def test_red_and_black_exchanged_turn_the_sign() -> None:
    there, back = asked("P12", "MID"), asked("MID", "P12")
    assert there.typical == pytest.approx(-(back.typical or 0.0))


def test_a_loose_net_shows_what_the_plug_decides() -> None:
    found = asked("LOOSE", "GND")
    assert found.display == "unknown"
    assert found.typical is None
    assert found.low is None
    assert found.reason == "what is plugged in at J1 decides; unplugged it floats"


def test_an_unknown_resistor_leaves_a_bound() -> None:
    found = asked("ODD", "GND")
    assert found.typical is None
    assert found.uncertain
    assert found.ask


def test_a_cold_board_has_no_volts() -> None:
    assert asked("MID", "GND", "cold").error == (
        "a board without power has no volts: name a state"
    )
