"""What a part is there for, told by where it stands."""

import pytest

from tests.compare.test_library import usual
from tracegraph.stage.duties.every import duty_of

# What a part is for, by its place alone: ordinary practice, no source.
DUTIES = [
    ("gate-drive-helper", "R2", "base-emitter resistor"),
    ("gate-drive-helper", "R6", "gate resistor"),
    ("gate-drive-helper", "R7", "gate pull-down"),
    ("gate-drive-helper", "R8", "current sense"),
    ("gate-drive-helper", "D1", "diode of the turn-off helper"),
    ("gate-drive-helper", "D2", "gate clamp"),
    ("gate-drive-helper", "Q3", "turn-off helper"),
    ("gate-drive-helper", "C1", "decoupling"),
    ("gate-drive-helper", "C2", "reservoir"),
    ("gate-drive-chip", "D1", "turn-off diode"),
    ("gate-drive-chip", "R3", "turn-off resistor"),
    ("gate-buffer", "Q2", "lower half of the totem pole"),
    ("half-bridge-bootstrap", "D1", "bootstrap diode"),
    ("half-bridge-bootstrap", "C2", "bootstrap capacitor"),
    ("half-bridge-bootstrap", "R5", "gate pull-down"),
    ("high-side-switch", "R3", "gate pull-up"),
    ("relay-driver", "D1", "freewheel diode"),
    ("brake-chopper", "D2", "freewheel diode"),
    ("brake-chopper", "R1", "bleeder"),
    ("brake-chopper", "R6", "snubber resistor"),
    ("flyback-primary", "D3", "clamp diode"),
    ("flyback-primary", "R8", "clamp resistor"),
    ("flyback-primary", "R2", "start-up resistor"),
    ("flyback-primary", "D2", "rectifier"),
    ("secondary-feedback", "R3", "upper half of the output divider"),
    ("secondary-feedback", "R4", "lower half of the output divider"),
    ("secondary-feedback", "U1", "feedback"),
    ("secondary-feedback", "C4", "compensation"),
    ("bus-divider-trip", "R1", "upper half of the divider"),
    ("bus-divider-trip", "R9", "hysteresis"),
    ("bus-divider-trip", "R10", "pull-up"),
    ("igbt-driver-opto", "D1", "reverse diode"),
    ("igbt-driver-opto", "R2", "bypass of the LED"),
    ("zener-series-supply", "D1", "reference of the supply"),
    ("linear-regulator-supply", "D1", "back-feed diode"),
    ("ntc-input", "D2", "clamp"),
    ("mains-input", "RV1", "surge protection"),
]


@pytest.mark.parametrize(("stage", "ref", "name"), DUTIES)
def test_a_parts_duty_is_told_by_its_place(stage: str, ref: str, name: str) -> None:
    known = duty_of(usual(stage), ref)
    assert known
    assert known.name == name
    assert known.lost
