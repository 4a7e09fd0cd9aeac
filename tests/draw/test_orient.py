"""How parts stand, as a hand would draw them."""

import pytest

from tests.draw.written import section_of, stance, standing_of
from tracegraph.draw.orient import Stance
from tracegraph.draw.shapes import Side

DRIVE = """\
input SPD 0V / 5V via 330R
R1 4k7 SPD -- NB
R2 22k NB -- COM
Q1 npn b=NB c=PULL e=COM
R3 10k PULL -- PB
R4 4k7 P12 -- PB
Q2 pnp b=PB e=P12 c=DRV
R5 1k DRV -- COM
D1 diode DRV -> GD
Q3 pnp b=DRV e=GD c=COM
R6 15R GD -- GATE
R7 22k GATE -- SRC
Q4 nfet g=GATE d=LOAD s=SRC
R8 shunt 0R02 SRC -- COM
D2 fast LOAD -> P12
"""


def faces(ref: str, lines: str = DRIVE) -> dict[str, Side]:
    """Return which way each pin of a part leaves."""
    return {leg.pin: leg.side for leg in stance(lines, ref).symbol.legs}


def test_a_pull_up_stands_above_the_net_it_pulls() -> None:
    one = stance(DRIVE, "R4")
    assert (one.stance, one.top, one.foot) == (Stance.UPRIGHT, "P12", "PB")


def test_a_pull_down_stands_below_it_however_it_was_written() -> None:
    for line in ("R2 22k NB -- COM", "R2 22k COM -- NB"):
        one = stance(DRIVE.replace("R2 22k NB -- COM", line), "R2")
        assert (one.stance, one.top, one.foot) == (Stance.UPRIGHT, "NB", "COM")


def test_a_base_resistor_lies_in_the_signal_path() -> None:
    for line in ("R1 4k7 SPD -- NB", "R1 4k7 NB -- SPD"):
        one = stance(DRIVE.replace("R1 4k7 SPD -- NB", line), "R1")
        assert (one.stance, one.top, one.foot) == (Stance.ALONG, "SPD", "NB")


def test_a_diode_from_base_to_emitter_of_a_helper_lies() -> None:
    one = stance(DRIVE, "D1")
    assert (one.stance, one.top, one.foot) == (Stance.ALONG, "DRV", "GD")


def test_a_gate_source_resistor_stands() -> None:
    one = stance(DRIVE, "R7")
    assert (one.stance, one.top, one.foot) == (Stance.ACROSS, "GATE", "SRC")


def test_a_freewheel_diode_stands_with_its_cathode_at_the_rail() -> None:
    one = stance(DRIVE, "D2")
    assert (one.stance, one.first, one.top) == (Stance.UPRIGHT, "k", "P12")


def test_the_emitter_of_a_pnp_is_up_and_that_of_an_npn_down() -> None:
    assert faces("Q2") == {"b": Side.LEFT, "e": Side.UP, "c": Side.DOWN}
    assert faces("Q3") == {"b": Side.LEFT, "e": Side.UP, "c": Side.DOWN}
    assert faces("Q1") == {"b": Side.LEFT, "c": Side.UP, "e": Side.DOWN}


def test_plain_volts_outweigh_the_type() -> None:
    """A pnp with its collector on the rail is drawn as it is wired, not as is usual."""
    odd = "Q1 pnp b=B c=P12 e=COM\nR1 1k B -- COM\n"
    assert faces("Q1", odd) == {"b": Side.LEFT, "c": Side.UP, "e": Side.DOWN}


def test_a_gate_that_is_driven_from_the_right_is_mirrored() -> None:
    """The sensing transistor pulls down what comes before its base's own net."""
    lines = "input IN 0V / 5V\nR1 1k IN -- A\nR2 1k A -- B\nQ1 npn b=B c=IN e=COM\n"
    assert faces("Q1", lines)["b"] is Side.RIGHT
    assert faces("Q4")["g"] is Side.LEFT


def test_a_chain_stands_as_one_and_turns_as_one() -> None:
    found = standing_of(section_of("D1 led A -> COM\nR1 1k A -- P12\n"))
    assert {one.stance for one in found.values()} == {Stance.UPRIGHT}
    assert (found["R1"].top, found["R1"].foot) == ("P12", "A")
    assert (found["D1"].top, found["D1"].foot) == ("A", "COM")
    assert found["D1"].first == "a"


@pytest.mark.parametrize("ref", ["R1", "R7", "Q2", "Q3", "D2", "D1"])
def test_the_upper_or_left_pin_is_the_origin_and_the_other_in_line(ref: str) -> None:
    one = stance(DRIVE, ref)
    at = {leg.pin: leg.at for leg in one.symbol.legs}
    line = (one.reach, 0) if one.stance is Stance.ALONG else (0, one.reach)
    assert at[one.first] == (0, 0)
    assert at[one.last] == line
    assert one.reach > 0


def test_ranks_follow_the_signal() -> None:
    ranks = {ref: one.rank for ref, one in standing_of(section_of(DRIVE)).items()}
    path = [ranks[ref] for ref in ("R1", "Q1", "R3", "Q2", "D1", "R6", "Q4")]
    assert path == sorted(path)
    assert len(set(path)) == len(path)


def test_a_connector_that_feeds_the_section_faces_right_and_one_at_its_end_left() -> (
    None
):
    path = "R1 1k IN -- A\nR2 1k A -- OUT\nQ1 npn b=OUT c=L e=COM\n"
    lines = f"J1 connector 1=IN\n{path}J9 connector 1=L\n"
    assert faces("J1", lines) == {"1": Side.RIGHT}
    assert faces("J9", lines) == {"1": Side.LEFT}
