"""Stacks on one axis, rows on one line, boxes alone."""

from collections import Counter

from tests.draw.written import cells, example, standing_of
from tracegraph.draw.assemble import cells_of
from tracegraph.draw.cell import Cell, End
from tracegraph.draw.drawing import Drawn
from tracegraph.draw.items import Section, items_of
from tracegraph.draw.shapes import Grid, Side


def told(lines: str) -> list[str]:
    """Return the designators of each cell, from above or from the left."""
    return [" ".join(one.ref for one in cell.drawn) for cell in cells(lines)]


def only(lines: str) -> Cell:
    (cell,) = cells(lines)
    return cell


def at(cell: Cell, ref: str, pin: str) -> Grid:
    one = next(one for one in cell.drawn if one.ref == ref)
    return next(leg.at for leg in one.legs if leg.pin == pin)


def test_a_divider_is_one_stack_with_an_end_at_its_tap() -> None:
    pair = "R1 10k P12 -- TAP\nR2 10k TAP -- COM\n"
    cell = only(pair)
    assert at(cell, "R1", "2") == at(cell, "R2", "1")
    assert cell.ends == ()
    tapped = cells(pair + "J1 connector 1=TAP\n")[0]
    (end,) = tapped.ends
    assert end == End("TAP", at(tapped, "R1", "2"), Side.RIGHT)


def test_a_pull_up_stands_on_its_transistor_and_that_on_its_emitter_resistor() -> None:
    lines = "R1 1k P12 -- C\nQ1 npn b=B c=C e=E\nR2 100R E -- COM\nR3 1k B -- IN\n"
    assert told(lines) == ["R1 Q1 R2", "R3"]
    cell = cells(lines)[0]
    assert at(cell, "R1", "2") == at(cell, "Q1", "c")
    assert at(cell, "Q1", "e") == at(cell, "R2", "1")
    assert {x for x, _ in (at(cell, "R1", "1"), at(cell, "R2", "2"))} == {0}


def test_two_switches_of_a_half_bridge_stand_on_each_other() -> None:
    """The upper pull-down would fit on the lower switch too: switches go first."""
    lines = (
        "Q1 nfet g=GH d=P12 s=PH\nQ2 nfet g=GL d=PH s=COM\n"
        "R1 10k PH -- COM\nR2 1k GH -- X\nR3 1k GL -- Y\n"
    )
    assert told(lines) == ["Q1 Q2", "R1", "R2", "R3"]


def test_a_line_of_parts_is_one_row_with_an_end_on_each_side() -> None:
    cell = cells("R1 1k IN -- A\nD1 diode A -> OUT\nQ1 npn b=OUT c=IN e=COM\n")[0]
    assert [one.ref for one in cell.drawn] == ["R1", "D1"]
    assert at(cell, "R1", "2") == at(cell, "D1", "a")
    assert [(end.net, end.side) for end in cell.ends] == [
        ("IN", Side.LEFT),
        ("OUT", Side.RIGHT),
    ]


def test_a_joint_with_a_third_pin_parts_a_row() -> None:
    assert told("R1 1k IN -- A\nR2 1k A -- OUT\nQ1 npn b=A c=IN e=OUT\n") == [
        "R1", "R2", "Q1"
    ]  # fmt: skip


def test_sister_channels_are_not_stacked_on_each_other() -> None:
    pair = "channel U\n  R1 1k P12 -- M\nend\nchannel V\n  R2 1k M -- COM\nend\n"
    assert told(pair) == ["R1", "R2"]
    assert told("R1 1k P12 -- M\nR2 1k M -- COM\n") == ["R1 R2"]


def test_an_ic_is_a_cell_by_itself_and_its_outputs_give() -> None:
    cell = cells(
        "U1 comparator out=OUT in-=REF in+=IN gnd=COM vcc=P12\n"
        "R1 1k OUT -- IN\nR2 1k REF -- IN\n"
    )[0]
    assert {end.net: end.gives for end in cell.ends} == {
        "OUT": True, "REF": False, "IN": False
    }  # fmt: skip


def test_every_item_of_an_example_is_in_just_one_cell() -> None:
    stage = example("welder-igbt-driver")
    section = Section(stage, items_of(stage))
    found = cells_of(section, list(standing_of(section).values()))
    refs = Counter(one.ref for cell in found for one in cell.drawn)
    assert refs == Counter(item.ref for item in section.items)


def test_every_end_is_at_a_pin_of_its_net() -> None:
    stage = example("welder-igbt-driver")
    section = Section(stage, items_of(stage))
    for cell in cells_of(section, list(standing_of(section).values())):
        for end in cell.ends:
            assert end.at in {
                place for one in cell.drawn for place in _on(one, end.net)
            }


def _on(one: Drawn, net: str) -> list[Grid]:
    nets = dict(one.nets)
    return [leg.at for leg in one.legs if nets[leg.pin] == net]


def test_a_ring_of_upright_parts_is_no_endless_stack() -> None:
    lines = "Q1 npn b=B c=X e=Y\nQ2 npn b=B c=Y e=X\nR1 1k B -- X\n"
    assert sorted(" ".join(told(lines)).split()) == ["Q1", "Q2", "R1"]
