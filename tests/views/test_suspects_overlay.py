"""Suspects over the drawing: by rank, each where a technician would look."""

from pathlib import Path

from tests.views.verdicts import EMPTY, FOUND, LEAKY, MISSED
from tracegraph.asking.api import read
from tracegraph.diagnose.verdict import Group, Sort
from tracegraph.draw.overlay import Between, Join, OnNet, OnPart, Role
from tracegraph.stage.change import Cut, Permute
from tracegraph.stage.part import Pin
from tracegraph.views.picture import drawing
from tracegraph.views.suspects_overlay import suspects_overlay
from tracegraph.views.svg import svg_of

STAGE = read(Path(__file__).parents[2] / "examples" / "treadmill-gate-drive.trace")


def test_parts_are_marked_by_rank_with_what_ails_them() -> None:
    layer = suspects_overlay(FOUND, STAGE)
    marks = {one.target: one for one in layer.marks if one.role is Role.SUSPECT}
    assert {target: (one.rank, one.text) for target, one in marks.items()} == {
        OnPart("Q23"): (1, "leaky c-e"),
        OnPart("R26"): (2, "open"),
        Between(Pin("R26", "1"), Pin("D21", "k")): (2, "broken track"),
    }
    assert marks[OnPart("Q23")].more == (
        "1. Q23 leaky c-e, about 1.2 k (1.12 to 1.27 k): 93 %."
    )


def test_a_bridge_or_missed_path_joins_its_nets_and_a_leaky_part_does_not() -> None:
    joins = suspects_overlay(FOUND, STAGE).joins
    assert [(one.a, one.b, one.role, one.rank) for one in joins] == [
        ("COM", "GD", Role.SUSPECT, 1),
        ("GATE", "SRC", Role.SUSPECT, 3),
    ]
    alone = FOUND._replace(groups=(Group((LEAKY,), 0.9, ()),))
    assert suspects_overlay(alone, STAGE).joins == ()


def test_one_mark_a_target_with_its_best_rank() -> None:
    groups = tuple(Group((LEAKY, MISSED), chance, ()) for chance in (0.6, 0.3))
    layer = suspects_overlay(FOUND._replace(groups=groups, readings=()), STAGE)
    (mark,), (join,) = layer.marks, layer.joins
    assert (mark.rank, join.rank) == (1, 1)
    assert mark.more.count("\n") == 1
    assert isinstance(join, Join)


def test_a_pin_or_net_is_marked_where_no_part_is_to_blame() -> None:
    base = MISSED._replace(changes=(Cut(Pin("Q24", "g")),))
    swapped = MISSED._replace(changes=(Permute("Q9", {"b": "c", "c": "b"}),))
    several = LEAKY._replace(sort=Sort.SEVERAL, parts=("Q23", "R27"))
    groups = tuple(Group((one,), 0.3, ()) for one in (base, swapped, several))
    layer = suspects_overlay(FOUND._replace(groups=groups, readings=()), STAGE)
    targets = [one.target for one in layer.marks]
    assert targets == [
        Pin("Q24", "g"),
        OnNet("GD"),
        OnNet("COM"),
        OnPart("Q23"),
        OnPart("R27"),
    ]


def test_readings_stand_at_their_red_point_and_odd_ones_are_told() -> None:
    layer = suspects_overlay(FOUND, STAGE)
    texts = {
        one.target.net: one.text
        for one in layer.marks
        if isinstance(one.target, OnNet) and one.role is Role.READING
    }
    assert texts == {
        "GATE": "1.15 k ! · 0.59 V · OL reversed",
        "SRC": "0.2 Ω · 0.48 V to MOT-",
    }


def test_what_is_unlikely_is_neither_marked_nor_told() -> None:
    layer = suspects_overlay(FOUND, STAGE)
    assert OnPart("D21") not in [one.target for one in layer.marks]
    assert not any("D21" in line for line in layer.legend)
    assert layer.legend[0].startswith("Q23 leaks between")


def test_without_readings_the_picture_says_so() -> None:
    layer = suspects_overlay(EMPTY, STAGE)
    assert (layer.marks, layer.joins, layer.legend) == ((), (), ("No reading yet.",))


def test_the_picture_carries_rank_and_readings() -> None:
    text = svg_of(drawing(STAGE, verdict=FOUND))
    assert 'data-role="suspect"' in text
    assert 'data-target="Q23"' in text
    assert "leaky c-e" in text
    assert 'data-role="suspect"' not in svg_of(drawing(STAGE))
