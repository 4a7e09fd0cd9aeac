"""A section that lives on the mains says so, a harmless one does not."""

import pytest

from tracegraph.notation.source import from_text
from tracegraph.stage.caution import cautions, scope_cautions, volts_cautions
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

HARMLESS = "ground COM\nrail P12 12V\nR1 1k P12 -- COM\n"


def stage(text: str) -> Stage:
    return read(from_text("x", text))


def test_a_low_rail_needs_no_caution() -> None:
    assert cautions(stage(HARMLESS)) == ()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("rail HV+ 320V\n", "HV+ stands at 320 V when powered"),
        ("rail NEG -90V\n", "NEG stands at -90 V when powered"),
        ("BR1 bridge ~1=L ~2=N +=P12 -=COM\n", "BR1 may rectify the mains"),
        ("K1 relay 400R a1=P12 a2=COM com=L no=N\n", "K1 may switch the mains"),
        ("Q1 igbt g=COM c=P12 e=COM rating 600V 20A\n", "Q1 is made for 600 V"),
        ('note "fed from the mains"\n', "The file speaks of mains"),
    ],
)
def test_what_may_hurt_is_named(line: str, said: str) -> None:
    (told,) = cautions(stage(HARMLESS + line))
    assert said in told
    assert "Unplug, discharge, and measure" in told
    assert "local rules" in told


def test_the_link_to_measure_is_named() -> None:
    (told,) = cautions(stage(HARMLESS + "rail HV+ 320V\n"))
    assert "measure HV+ to COM before probing" in told


def test_a_part_taken_out_is_no_danger() -> None:
    line = "BR1 bridge ~1=L ~2=N +=P12 -=COM removed\n"
    assert cautions(stage(HARMLESS + line)) == ()


def test_a_live_board_has_a_caution_more() -> None:
    assert volts_cautions(stage(HARMLESS)) == ()
    first, live = volts_cautions(stage(HARMLESS + "rail HV+ 320V\n"))
    assert first.startswith("HV+ stands at 320 V")
    assert "one hand" in live


def test_the_earth_clip_of_a_scope_stays_off_a_hot_ground() -> None:
    assert scope_cautions(stage(HARMLESS), "COM") == ()
    _, earth = scope_cautions(stage(HARMLESS + "rail HV+ 320V\n"), "COM")
    assert "on COM of this board it may short the mains" in earth


def test_a_floating_reference_has_a_caution_of_its_own() -> None:
    (moving,) = scope_cautions(stage(HARMLESS), "PH")
    assert "PH is no ground: it may move with the switching" in moving
