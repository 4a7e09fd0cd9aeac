"""What a part is there for, told by where it stands."""

from pathlib import Path

import pytest

from tests.compare.test_library import usual
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.stage.duties.every import duty_of
from tracegraph.stage.read import read

# What a part is for, by its place alone: ordinary practice, no source.
DUTIES = [
    ("gate-drive-helper", "R2", "base pull-down"),
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
    ("mains-input", "C1", "interference capacitor"),
    ("mains-input", "R1", "bleeder"),
    ("mains-input", "L1.a", "interference choke"),
    ("mains-input", "RT1", "in-rush limiter"),
    ("mains-input", "BR1", "bridge rectifier"),
    ("gate-drive-helper", "Q1", "level shifter"),
    ("gate-drive-helper", "R4", "base pull-up"),
    ("gate-drive-helper", "Q4", "power switch"),
    ("gate-drive-chip", "U1", "gate driver"),
    ("half-bridge-bootstrap", "U1", "half-bridge driver"),
    ("half-bridge-bootstrap", "R3", "bootstrap resistor"),
    ("bus-divider-trip", "U1.A", "buffer"),
    ("bus-divider-trip", "R8", "hysteresis input resistor"),
    ("shunt-trip", "R3", "upper half of the divider"),
    ("crowbar", "D1", "trigger zener"),
    ("crowbar", "Q1", "crowbar"),
    ("crowbar", "R1", "gate-cathode resistor"),
    ("flyback-primary", "R1", "start-up resistor"),
    ("flyback-primary", "T1.pri", "primary winding"),
    ("flyback-primary", "T1.aux", "supply winding"),
    ("flyback-primary", "R3", "surge resistor of the supply"),
    ("flyback-primary", "U1", "controller"),
    ("igbt-driver-opto", "D2", "zener of the split supply"),
    ("igbt-driver-opto", "C2", "reservoir"),
    ("ntc-input", "RT1", "temperature sensor"),
    ("ntc-input", "R2", "series resistor of the plug"),
    ("secondary-feedback", "L1", "output choke"),
    ("secondary-feedback", "R7", "compensation resistor"),
    ("linear-regulator-supply", "U1", "regulator"),
    ("linear-regulator-supply", "C3", "decoupling"),
    ("zener-series-supply", "Q1", "series transistor"),
    ("zero-cross", "R1", "LED resistor"),
    ("relay-driver", "K1", "relay"),
    ("brake-chopper", "R7", "load"),
]


SMALL = "ground COM\nrail P12 12V\n"
PLACES = [
    ("C1 1n G -- S\nQ1 nfet g=G d=D s=S\n", "C1", "gate capacitor"),
    ("R1 1k A -- B\nC1 1n A -- B\nQ1 npn b=B c=C e=COM\n", "C1", "speed-up capacitor"),
    (
        "F1 fuse 1A P12 -- A\nL1 22u A -- B\nC1 100u B -> COM\nL2 1u P12 -- E\n",
        "L2",
        "supply choke",
    ),
    ("L1 1m P12 -- D\nQ1 nfet g=G d=D s=COM\nD1 fast D -> OUT\n", "L1", "boost choke"),
    (
        "D1 diode TRIP -> A\nD2 diode TRIP -> B\nR1 10k P12 -- TRIP\n",
        "D1",
        "diode of the wired or",
    ),
    (
        "D1 diode TRIP -> A\nD2 diode TRIP -> B\nR1 10k P12 -- TRIP\n",
        "R1",
        "pull-up of TRIP",
    ),
    ("TP1 testpoint 1=A\nR1 1k A -- COM\n", "TP1", "test point"),
    ("U1 ic 1=A 2=COM\nR1 1k A -- P12\n", "U1", ""),
    ("R1 1k A -- B\nR2 1k B -- C\n", "R1", ""),
]


@pytest.mark.parametrize(("lines", "ref", "name"), PLACES)
def test_what_no_usual_stage_shows_is_told_too_and_the_rest_is_unknown(
    lines: str, ref: str, name: str
) -> None:
    known = duty_of(read(from_text("small", SMALL + lines)), ref)
    assert (known.name if known else "") == name


EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.trace"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_part_of_the_examples_has_a_duty(path: Path) -> None:
    stage = read(from_bytes(path.name, path.read_bytes()))
    assert [one.ref for one in stage.parts if duty_of(stage, one.ref) is None] == []


@pytest.mark.parametrize(("stage", "ref", "name"), DUTIES)
def test_a_parts_duty_is_told_by_its_place(stage: str, ref: str, name: str) -> None:
    known = duty_of(usual(stage), ref)
    assert known
    assert known.name == name
    assert known.lost
