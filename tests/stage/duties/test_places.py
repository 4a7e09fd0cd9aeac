"""Duties of parts whose neighbours look like those of another: common practice, no source."""

from functools import cache

import pytest

from tracegraph.notation.source import from_text
from tracegraph.stage.duties.every import duty_of
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

CHOPPER = """
ground GND
rail V48 48V
input G 0V / 12V
Q3 nfet g=G d=DR s=GND
L1 inductor 1m V48 -- DR
D2 fast DR -> V48
"""
BOOST = CHOPPER.replace("DR -> V48", "DR -> OUT") + "C1 100u OUT -> GND\n"
REGULATED = """
ground GND
rail VIN 24V
U1 regulator 5V in=VIN out=P5 gnd=GND
R1 47R P5 -- GND
R2 470R P5 -- LA
LED1 led LA -> GND
"""
MEMORY = """
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
LED1 led C2 -> LK
R6 1k LK -- GND
"""
TAP = """
ground GND
rail BUS 320V
R4 0R01 E -- GND
R7 330k BUS -- SNS
R8 3k3 SNS -- GND
"""
PARALLEL = """
ground GND
rail P12 12V
input A 0V / 5V
U1.A driver in=A out=O
U1.B driver in=A out=O
supply U1 vcc=P12 gnd=GND
R1 10R O -- G
Q1 nfet g=G d=D s=GND
"""
TIED = """
ground GND
rail P24 24V
R1 1k P24 -- X
Q1 npn b=A c=X e=GND
Q3 npn b=P24 c=P24 e=Z
"""
CROWBAR = """
ground GND
rail RAW 18V
R0 1R 5W RAW -- F
F1 fuse 3A F -- P12
Q1 scr a=P12 k=GND g=T
"""


@cache
def section(text: str) -> Stage:
    return read(from_text("bench", text))


@pytest.mark.parametrize(
    ("text", "ref", "role"),
    [
        (CHOPPER, "L1", "load coil"),
        (CHOPPER, "D2", "freewheel diode"),
        (BOOST, "L1", "boost choke"),
        (BOOST, "D2", "boost diode"),
        (REGULATED, "R1", None),
        (REGULATED, "R2", "LED resistor"),
        (MEMORY, "R5", "holding resistor"),
        (MEMORY, "R1", "base resistor"),
        (MEMORY, "R6", "LED resistor"),
        (TAP, "R7", "upper half of the divider"),
        (TAP, "R8", "lower half of the divider"),
        (PARALLEL, "U1.A", "gate driver in parallel"),
        (TIED, "R1", "pull-up of X"),
        (CROWBAR, "R0", None),
    ],
)
def test_a_part_is_told_from_what_looks_like_it(
    text: str, ref: str, role: str | None
) -> None:
    found = duty_of(section(text), ref)
    assert (found and found.name) == role


def test_a_tap_is_named_by_its_own_net() -> None:
    found = duty_of(section(TAP), "R7")
    assert found
    assert found.lost == "SNS stands too low"


def test_a_driver_beside_another_is_not_missed_altogether() -> None:
    found = duty_of(section(PARALLEL), "U1.B")
    assert found
    assert found.lost == "only U1.A drives Q1: slower"
