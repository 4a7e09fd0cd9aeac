"""What each part of the examples is for, in the trade's terms.

Common practice, no source: what whoever repairs such boards would call it.
"""

from pathlib import Path

import pytest

from tests.purpose.sections import EXAMPLES, example
from tracegraph.stage.duties.every import duty_of

TREADMILL = {
    "R21": "base resistor",
    "R22": "base pull-down",
    "Q21": "level shifter",
    "R23": "base resistor",
    "R24": "base pull-up",
    "Q22": "switch",
    "R25": "pull-down of DRV",
    "D21": "diode of the turn-off helper",
    "Q23": "turn-off helper",
    "R26": "gate resistor",
    "R27": "gate pull-down",
    "Q24": "power switch",
    "R28": "current sense",
    "D22": "freewheel diode",
    "J21": "connector",
}
OTHERS = {
    "charger-flyback-primary": {
        "F61": "fuse",
        "C61": "interference capacitor",
        "R61": "bleeder",
        "NTC61": "in-rush limiter",
        "BR61": "bridge rectifier",
        "C62": "reservoir",
        "R63": "start-up resistor",
        "D62": "rail clamp",
        "T61.aux": "supply winding",
        "U61": "controller",
        "R68": "current sense",
        "R70": "clamp resistor",
        "U62": "optocoupler",
        "TP61": "test point",
    },
    "dryer-relay-driver": {
        "K81": "relay",
        "LED81": "indicator",
        "S81": "thermal cut-out",
        "R86": "pull-up of the sensor",
        "NTC81": "temperature sensor",
        "R87": "series resistor of the plug",
        "D82": "freewheel diode",
    },
    "press-bus-trip": {
        "R101": "upper half of the divider",
        "R105": "lower half of the divider",
        "D101": "clamp",
        "U101.A": "buffer",
        "U102": "reference",
        "R107": "feed of U102",
        "R110": "hysteresis input resistor",
        "R111": "hysteresis",
        "D103": "diode of the wired or",
        "R120": "pull-up of TRIP#",
        "U105": "optocoupler",
    },
    "solar-pump-half-bridge": {
        "U31": "half-bridge driver",
        "D31": "bootstrap diode",
        "C41": "bootstrap capacitor",
        "D42": "turn-off diode",
        "R35": "gate pull-down",
        "R30": "current sense",
    },
    "welder-igbt-driver": {
        "R52": "bypass of the LED",
        "D51": "reverse diode",
        "D52": "zener of the split supply",
        "D53": "turn-off diode",
        "R55": "turn-off resistor",
        "D54": "gate clamp",
        "C51": "reservoir",
    },
    "airconditioner-boost-stage": {
        "R93": "in-rush limiter",
        "K91": "bypass relay of the in-rush limiter",
        "L91": "boost choke",
        "D91": "boost diode",
        "D92": "bypass diode",
        "R103": "bleeder",
        "U91": "gate driver",
        "R98": "input pull-down",
    },
}
ROWS = [
    (name, ref, role) for name, rows in OTHERS.items() for ref, role in rows.items()
]


def test_every_part_of_the_treadmill_board() -> None:
    stage = example("treadmill-gate-drive")
    found = {one.ref: duty_of(stage, one.ref) for one in stage.parts}
    assert {ref: one.name for ref, one in found.items() if one} == TREADMILL


@pytest.mark.parametrize(("name", "ref", "role"), ROWS)
def test_parts_of_the_other_boards(name: str, ref: str, role: str) -> None:
    known = duty_of(example(name), ref)
    assert known
    assert known.name == role


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.trace")), ids=lambda p: p.stem)
def test_no_part_of_an_example_is_left_without_a_role(path: Path) -> None:
    stage = example(path.stem)
    assert [one.ref for one in stage.parts if duty_of(stage, one.ref) is None] == []
