"""Boxes of chips: where their pins stand, what is written, and that names fit."""

from dataclasses import replace
from itertools import combinations

import pytest

from tests.draw.extent import shape_box
from tests.draw.symbols.samples import LONG, of_every_sample
from tests.stage.kinds.made import made
from tracegraph.draw.shapes import Side, Text
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols import symbol_of
from tracegraph.draw.symbols.boxes import box
from tracegraph.draw.symbols.sides import Sides, default_sides
from tracegraph.draw.text import width
from tracegraph.stage.part import Part


def written(symbol: Symbol) -> list[str]:
    return [shape.text for shape in symbol.shapes if isinstance(shape, Text)]


def side_of(symbol: Symbol, side: Side) -> list[str]:
    return [leg.pin for leg in symbol.legs if leg.side is side]


def test_a_half_bridge_driver_has_its_pins_where_the_bench_expects_them() -> None:
    symbol = symbol_of(made("bridgedriver"))
    assert side_of(symbol, Side.LEFT) == ["hin", "lin"]
    assert side_of(symbol, Side.RIGHT) == ["vb", "ho", "vs", "lo"]
    assert side_of(symbol, Side.UP) == ["vcc"]
    assert side_of(symbol, Side.DOWN) == ["com"]


def test_bare_numbers_go_round_as_on_a_package_seen_from_above() -> None:
    part = made("ic", pins=tuple("12345678"))
    assert default_sides(part) == Sides(tuple("1234"), tuple("8765"))


def test_names_of_an_unknown_chip_tell_their_side() -> None:
    part = made("ic", pins=("VCC", "GND", "CS", "FB1", "OUT", "VREF", "AGND", "IN+"))
    assert default_sides(part) == Sides(
        ("CS", "FB1", "IN+"), ("OUT", "VREF"), ("VCC",), ("GND", "AGND")
    )


def test_a_name_that_tells_nothing_goes_where_there_is_room() -> None:
    part = made("ic", pins=("CS", "FB", "OUT", "QUX"))
    assert "QUX" in default_sides(part).right


@of_every_sample
def test_any_part_may_stand_as_a_box(part: Part) -> None:
    sides = default_sides(part)
    listed = [pin for side in sides for pin in side]
    assert sorted(listed) == sorted(part.pins)
    assert [leg.pin for leg in box(part).legs] == listed


def test_pins_may_be_put_in_another_order() -> None:
    part = made("bridgedriver")
    usual = default_sides(part)
    other = box(part, usual._replace(right=usual.right[::-1]))
    assert side_of(other, Side.RIGHT) == ["lo", "vs", "ho", "vb"]
    assert other.body == box(part).body


@of_every_sample
def test_no_text_in_a_box_lies_over_another_or_over_the_room(part: Part) -> None:
    symbol = box(part)
    texts = [shape_box(shape) for shape in symbol.shapes if isinstance(shape, Text)]
    assert not any(one.meets(two) for one, two in combinations(texts, 2))
    assert symbol.room is not None
    assert not any(text.meets(symbol.room) for text in texts)


@pytest.mark.parametrize("type_number", ["", "UC3", "8-pin, marking sanded off"])
def test_designator_and_type_fit_between_the_names(type_number: str) -> None:
    part = replace(made("bridgedriver"), ref="U107", type_number=type_number)
    room = box(part).room
    assert room is not None
    wanted = max(width("U107", 1.2, bold=True), width(type_number, 1.1))
    assert room.right - room.left >= min(wanted, 16.0)
    assert room.bottom - room.top >= 2.9


def test_a_long_name_is_cut_and_told_whole() -> None:
    (text,) = (
        shape
        for shape in symbol_of(made("ic", pins=("IN", LONG))).shapes
        if isinstance(shape, Text) and shape.full
    )
    assert text.full == LONG
    assert width(text.text, text.size) <= 8


def test_numbers_as_written_stand_bare_and_usual_ones_in_brackets() -> None:
    part = made("bridgedriver")
    assert "(7)" in written(symbol_of(part))
    own = replace(part, numbers={"ho": "16"})
    assert "16" in written(symbol_of(own))
    assert not any("(" in text for text in written(symbol_of(own)))


def test_usual_numbers_are_not_told_of_what_they_may_not_fit() -> None:
    for part in (
        replace(made("comparator"), ref="U3.B"),
        replace(made("opto"), pinout=False),
        made("opto", pins=("a", "k", "c", "e", "b")),
    ):
        assert not any("(" in text for text in written(symbol_of(part)))


def test_a_number_whose_pin_nobody_knows_is_marked() -> None:
    numbers = {"b": "1", "c": "2", "e": "3"}
    known = replace(made("pnp"), numbers=numbers)
    assert {"1", "2", "3"} <= set(written(symbol_of(known)))
    unknown = replace(known, pinout=False)
    assert {"1?", "2?", "3?"} <= set(written(symbol_of(unknown)))


def test_a_connector_keeps_the_order_of_its_pins() -> None:
    symbol = symbol_of(made("connector", pins=("3", "1", "GATE", "2")))
    assert side_of(symbol, Side.RIGHT) == ["3", "1", "GATE", "2"]
    assert written(symbol) == ["3", "1", "GATE", "2"]


def test_a_comparators_inputs_are_left_and_its_supply_is_up() -> None:
    symbol = symbol_of(made("comparator"))
    assert side_of(symbol, Side.LEFT) == ["in-", "in+"]
    assert side_of(symbol, Side.RIGHT) == ["out"]
    assert (side_of(symbol, Side.UP), side_of(symbol, Side.DOWN)) == (["vcc"], ["gnd"])


def test_light_is_all_that_joins_the_sides_of_a_coupler() -> None:
    symbol = symbol_of(made("opto"))
    assert side_of(symbol, Side.LEFT) == ["a", "k"]
    assert side_of(symbol, Side.RIGHT) == ["c", "e"]
