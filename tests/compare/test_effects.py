"""Two probes confirm a difference: what the reference shows, and what is shown now."""

from dataclasses import replace

import numpy as np
import pytest

from tests.compare.test_library import example
from tracegraph.compare.compare import compare
from tracegraph.compare.comparison import Comparison, Difference, DifferenceKind
from tracegraph.compare.effects import Effect, effects
from tracegraph.compare.glance import moved
from tracegraph.compare.sisters import channel_of, find_channel, sisters
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.profile_file import find_meter
from tracegraph.network.circuit import compile_stage
from tracegraph.network.linear import changed, resistances
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import (
    Become,
    Change,
    Cut,
    Permute,
    Remove,
    Split,
    Tie,
    Vary,
)
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

METER = find_meter("handheld")
SERIES = {"DV", "GV"}
NET = (
    "ground COM\nR1 1k A -- B\nR2 2k2 B -- COM\nR3 4k7 A -- C\nR4 10k C -- COM\n"
    "R5 3k3 B -- C\n"
)


def found(reference: Stage, *changes: Change) -> list[tuple[Effect, ...]]:
    """Return the effects of each difference of a section so changed."""
    comparison = compare(apply(reference, changes), reference)
    return list(effects(comparison, reference, METER))


def pairs(told: tuple[Effect, ...]) -> set[tuple[frozenset[str], Mode]]:
    return {(frozenset((one.red, one.black)), one.mode) for one in told}


def test_a_missing_pull_down_shows_from_gate_to_ground() -> None:
    (told,) = found(example("treadmill-gate-drive"), Remove("R27"))
    best = told[0]
    assert (best.red, best.black, best.mode) == ("GATE", "COM", Mode.OHMS)
    assert best.was == "22 k"
    assert best.becomes.endswith("OL")


def test_a_wrong_resistor_shows_across_itself() -> None:
    (told,) = found(
        example("treadmill-gate-drive"), Vary("R26", "r", exact(150.0, "ohm"))
    )
    assert (told[0].was, told[0].becomes) == ("15.2 Ω", "150 Ω")
    assert {told[0].red, told[0].black} == {"GD", "GATE"}


def test_a_bridge_that_was_found_shows_across_itself_by_its_nets() -> None:
    (told,) = found(example("treadmill-gate-drive"), Tie("PULL", "PB"))
    best = told[0]
    assert (best.was, best.becomes) == ("10 k", "0.2 Ω")
    assert {best.red, best.black} == {"PULL", "PB"}


def test_it_shows_by_pins_where_both_nets_were_traced_as_one() -> None:
    good = example("treadmill-gate-drive")
    parts = (
        part.with_pins({p: "PULL" if n == "PB" else n for p, n in part.pins.items()})
        for part in good.parts
    )
    comparison = compare(replace(good, parts=tuple(parts)), good)
    (told,) = effects(comparison, good, METER)
    assert (told[0].was, told[0].becomes) == ("10 k", "0.2 Ω")
    assert {told[0].red, told[0].black} == {"R23.1", "R23.2"}


def test_a_reversed_diode_shows_in_diode_test() -> None:
    (told,) = found(
        example("treadmill-gate-drive"), Permute("D21", {"a": "k", "k": "a"})
    )
    assert told
    assert all(one.mode is Mode.DIODE for one in told)
    assert any({one.red, one.black} == {"DRV", "GD"} for one in told)


def test_a_break_shows_between_pins_of_the_net_that_is_two_now() -> None:
    broken = Split("DRV", (Pin("R25", "1"), Pin("Q23", "b")))
    (told,) = found(example("treadmill-gate-drive"), broken)
    best = told[0]
    assert {best.red, best.black} <= {"R25.1", "Q23.b", "Q22.c", "D21.a", "DRV"}
    assert best.mode is Mode.OHMS
    assert best.was == "0.2 Ω"
    assert best.becomes.endswith("OL")


def test_a_leg_that_is_off_shows_where_the_part_counts() -> None:
    (told,) = found(example("treadmill-gate-drive"), Cut(Pin("R27", "1")))
    assert (frozenset(("GATE", "COM")), Mode.OHMS) in pairs(told)


def test_a_missing_capacitor_shows_as_farads() -> None:
    (told,) = found(example("solar-pump-half-bridge"), Remove("C31"))
    assert [(one.mode, one.was, one.becomes) for one in told] == [
        (Mode.CAP, "2.2 µF", "OL")
    ]


def test_what_the_leads_hide_is_not_promised() -> None:
    told = found(example("treadmill-gate-drive"), Vary("R28", "r", exact(0.025, "ohm")))
    assert [list(one) for one in told] in ([[]], [])
    (told_of_shunt,) = found(
        example("treadmill-gate-drive"), Vary("R28", "r", exact(0.2, "ohm"))
    )
    assert told_of_shunt == ()


def test_a_diode_across_a_coil_is_not_observable_here() -> None:
    (told,) = found(example("dryer-relay-driver"), Remove("D81"))
    assert told == ()


def test_the_diode_beside_it_is_told_by_its_own_nets_in_the_traced_names() -> None:
    reference = read(
        from_text(
            "good", "ground COM\nR1 10k G -- COM\nD1 diode G -> X\nR2 1k X -- COM\n"
        )
    )
    traced = read(
        from_text("other", "ground GND\nR71 10k GATE -- GND\nR72 1k LOW -- GND\n")
    )
    comparison = compare(traced, reference)
    kinds = [one.kind.value for one in comparison.differences]
    assert kinds == ["absent"]
    (told,) = effects(comparison, reference, METER)
    assert told
    assert {name for one in told for name in (one.red, one.black)} <= {
        "GATE",
        "GND",
        "LOW",
    }


def test_each_of_four_differences_is_told_by_readings_of_its_own() -> None:
    reference = example("treadmill-gate-drive")
    changes = (
        Tie("PULL", "PB"),
        Become("Q23", "npn"),
        Vary("R26", "r", exact(150.0, "ohm")),
        Remove("D22"),
    )
    told = found(reference, *changes)
    assert len(told) == 4
    assert all(told)
    firsts = [next(iter(pairs(one[:1]))) for one in told]
    assert len(set(firsts)) == 4


def test_what_it_predicts_is_what_the_changed_board_shows() -> None:
    reference = example("treadmill-gate-drive")
    change = Vary("R26", "r", exact(150.0, "ohm"))
    (told,) = found(reference, change)
    for board, shown in ((reference, "was"), (apply(reference, [change]), "becomes")):
        probes = [Probe(one.red, one.black, one.mode) for one in told]
        answers = expect(board, probes, METER)
        assert [one.display for one in answers] == [getattr(one, shown) for one in told]


@pytest.mark.parametrize("ends", [("A", "COM"), ("B", "C"), ("A", "C")])
def test_a_bridges_effect_is_the_rank_one_formulas(ends: tuple[str, str]) -> None:
    # Sherman & Morrison 1950: one conductance more, all resistances by formula.
    reference, ohms = read(from_text("net", NET)), 470.0
    circuit = compile_stage(reference)
    nodes = circuit.nodes[ends[0]], circuit.nodes[ends[1]]
    after = changed(resistances(circuit), nodes, 1 / ohms)
    comparison = compare(apply(reference, [Tie(*ends, ohms)]), reference)
    (told,) = effects(comparison, reference, METER)
    assert told
    assert {one.mode for one in told} >= {Mode.OHMS}
    for one in told:
        if one.mode is Mode.OHMS:
            a, b = circuit.nodes[one.red], circuit.nodes[one.black]
            wanted = float(after[a, b]) + METER.leads
            assert _ohms(one.becomes) == pytest.approx(wanted, rel=5e-3)
            assert _ohms(one.was) > wanted


def _ohms(shown: str) -> float:
    number, unit = shown.split()
    return float(number) * {"k": 1e3, "M": 1e6}.get(unit, 1.0)


@pytest.mark.parametrize(
    ("was", "now", "mode", "worth"),
    [
        (1e3, 1e3, Mode.OHMS, 0.0),
        (1e3, np.inf, Mode.OHMS, 3.0),
        (30e6, np.inf, Mode.OHMS, 0.0),  # fingers decide there
        (0.6, 0.5, Mode.DIODE, 1.0),
        (np.nan, 1e3, Mode.OHMS, 0.0),
    ],
)
def test_how_far_a_display_is_moved(
    was: float, now: float, mode: Mode, worth: float
) -> None:
    assert moved(was, now, mode) == pytest.approx(worth)


def test_what_leaves_a_value_open_is_not_foreseen_and_spoils_no_other() -> None:
    reference = example("treadmill-gate-drive")
    unknown, known = found(reference, Become("R26", "capacitor"), Remove("R22"))
    assert unknown == ()
    assert known
    assert "22 k" in {one.was for one in known}


def test_a_lawful_difference_is_on_both_sides_of_every_reading() -> None:
    reference = read(
        from_text(
            "phases",
            "ground COM\nchannel U\nR1 10k GU -- COM\nR2 22R DU -- GU\nend\n"
            "channel V like U R1=R11 R2=R12 GU=GV DU=DV except R11 4k7\n",
        )
    )
    wrong = apply(reference, [Vary("R12", "r", exact(470.0, "ohm"))])
    comparison = sisters(wrong, "V", "U")
    lawful = [one.lawful for one in comparison.differences]
    assert sorted(lawful) == [False, True]
    told = effects(comparison, channel_of(wrong, find_channel(wrong, "U")), METER)
    assert [bool(one) for one in told] == [not one for one in lawful]
    across = next(
        one for many in told for one in many if {one.red, one.black} == SERIES
    )
    assert (across.was, across.becomes) == ("22.2 Ω", "470 Ω")
    to_ground = [one for many in told for one in many if "COM" in {one.red, one.black}]
    assert all(one.was != "10 k" for one in to_ground)


def test_differences_that_do_not_go_together_are_told_each_alone() -> None:
    reference = example("treadmill-gate-drive")
    first = Split("GATE", (Pin("R27", "1"),))
    second = Split("GATE", (Pin("R27", "1"), Pin("Q24", "g")))
    comparison = Comparison(
        differences=tuple(
            Difference(DifferenceKind.BROKEN, (change,), "GATE is broken here")
            for change in (first, second)
        )
    )
    told = effects(comparison, reference, METER)
    assert [bool(one) for one in told] == [True, True]
    assert all(one.was == "0.2 Ω" for one in (told[0][0], told[1][0]))
