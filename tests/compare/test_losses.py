"""What a section loses by a difference, told by where the part stands."""

import pytest

from tests.compare.test_library import example
from tracegraph.compare.compare import compare
from tracegraph.compare.losses import losses
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Become, Change, Permute, Remove, Tie, Vary
from tracegraph.stage.read import read

LOSSES: list[tuple[str, Change, str]] = [
    (
        "treadmill-gate-drive",
        Remove("R27"),
        "no gate pull-down: nothing keeps Q24 off with its driver unplugged",
    ),
    (
        "treadmill-gate-drive",
        Become("Q23", "npn"),
        "no turn-off helper: the gate of Q24 empties slowly: it turns off hot",
    ),
    (
        "treadmill-gate-drive",
        Vary("R26", "r", exact(150.0, "ohm")),
        "gate resistor too great: Q24 switches slowly and runs hot",
    ),
    (
        "treadmill-gate-drive",
        Vary("R26", "r", exact(1.5, "ohm")),
        "gate resistor too small: the gate rings, and Q24 switches harder than it should",
    ),
    ("treadmill-gate-drive", Tie("GATE", "SRC"), "Q24 can't turn on"),
    (
        "treadmill-gate-drive",
        Tie("V15", "COM"),
        "it shorts V15 as soon as it is powered",
    ),
    (
        "dryer-relay-driver",
        Permute("D81", {"a": "k", "k": "a"}),
        "no freewheel diode; Q81 shorts the rail through it as soon as it turns on",
    ),
    (
        "dryer-relay-driver",
        Permute("C81", {"+": "-", "-": "+"}),
        "C81 fails, and may burst, as soon as it is powered",
    ),
    (
        "press-bus-trip",
        Vary("R105", "r", exact(1e3, "ohm")),
        "lower half of the divider too small: TAP stands too low",
    ),
]


@pytest.mark.parametrize(("name", "change", "said"), LOSSES)
def test_what_is_lost_is_said_in_the_trades_words(
    name: str, change: Change, said: str
) -> None:
    reference = example(name)
    comparison = compare(apply(reference, [change]), reference)
    assert losses(comparison, reference) == (said,)


def test_the_words_carry_the_names_of_the_traced_board() -> None:
    good = "ground COM\nR1 22R DRV -- G\nR2 10k G -- COM\nQ1 nfet g=G d=D s=COM\n"
    bad = "ground GND\nR71 22R OUT -- GATE\nQ71 nfet g=GATE d=DRN s=GND\n"
    reference = read(from_text("good", good))
    comparison = compare(read(from_text("bad", bad)), reference)
    (said,) = losses(comparison, reference)
    assert "nothing keeps Q71 off" in said


def test_a_pull_down_that_moved_behind_the_shunt_is_still_one() -> None:
    text = (
        "ground COM\nR1 22R DRV -- G\nR2 10k G -- {}\nQ1 nfet g=G d=D s=S\n"
        "R3 0R05 S -- COM\n"
    )
    reference = read(from_text("good", text.format("COM")))
    comparison = compare(read(from_text("other", text.format("S"))), reference)
    assert [one.kind.value for one in comparison.differences] == ["moved"]
    assert losses(comparison, reference) == ("",)


def test_a_bridged_rail_keeps_its_name_where_the_traced_board_has_one_net() -> None:
    good = "ground COM\nrail P5 5V\nR1 10k P5 -- COM\nR2 1k P5 -- A\nR3 1k A -- COM\n"
    reference = read(from_text("good", good))
    comparison = compare(apply(reference, [Tie("P5", "COM")]), reference)
    assert losses(comparison, reference) == ("it shorts P5 as soon as it is powered",)


def test_of_a_part_whose_place_tells_nothing_nothing_is_said() -> None:
    reference = read(from_text("two", "ground COM\nR1 10k A -- B\nR2 10k B -- COM\n"))
    comparison = compare(apply(reference, [Remove("R1")]), reference)
    assert losses(comparison, reference) == ("",)


def test_a_pin_that_moved_is_told_by_what_it_has_left() -> None:
    text = "ground COM\nR1 22R DRV -- G\nR2 10k {} -- COM\nQ1 nfet g=G d=D s=COM\n"
    reference = read(from_text("good", text.format("G")))
    traced = read(from_text("bad", text.format("DRV")))
    (said,) = losses(compare(traced, reference), reference)
    assert said == "no gate pull-down: nothing keeps Q1 off with its driver unplugged"
