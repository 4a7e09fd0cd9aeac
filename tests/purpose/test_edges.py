"""What a turn-off helper is worth: waves, against the plain R C of any textbook."""

from functools import cache

import pytest

from tests.purpose.sections import changes, section
from tracegraph.purpose.purpose import purpose
from tracegraph.purpose.result import Deed, Purpose, Rank

# The gate is a plain 1 nF: so small a charge that the plateau is nothing.
HELPED = """
ground COM
input DRV 0V / 12V via 50R 1kHz 50%
R1 1k DRV -- COM
D1 diode DRV -> GD
Q2 pnp b=DRV e=GD c=COM
R2 10R GD -- GATE
R3 10k GATE -- COM
Q1 nfet g=GATE d=D s=COM vgsth=3V ciss=1n crss=1p qg=1n
"""
R_C = 10e3 * 1e-9
TEN_TO_NINETY = 2.197  # of R C: ln 9 (any textbook of pulse circuits)


@cache
def helper(hertz: str) -> Purpose:
    (found,) = purpose(section(HELPED.replace("1kHz", hertz)), ["Q2"]).parts
    return found


def test_without_its_helper_a_gate_falls_as_resistor_and_capacitance_let_it() -> None:
    (edge,) = changes(helper("1kHz"), Rank.EDGE)
    assert edge.subject == "GATE"
    assert edge.unit == "s"
    assert edge.now == pytest.approx(TEN_TO_NINETY * R_C, rel=0.15)
    assert edge.was
    assert edge.now
    assert edge.was < edge.now / 20
    assert "times slower" in edge.words


def test_a_gate_that_has_no_time_to_fall_never_turns_its_device_off() -> None:
    # At 100 kHz 5 us are left of the 22 us that it needs.
    found = helper("100kHz")
    (acts,) = changes(found, Rank.ACTS)
    assert acts.now == pytest.approx(TEN_TO_NINETY * R_C, rel=0.15)
    assert "only R3 empties the gate" in acts.words
    assert "Q1 never turns off at 100 kHz" in found.without


def test_a_shorted_helper_takes_the_drive_away() -> None:
    (acts, *_) = changes(helper("1kHz"), Rank.ACTS, Deed.SHORTED)
    assert acts.subject == "Q1"
