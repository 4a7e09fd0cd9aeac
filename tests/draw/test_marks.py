"""Marks stand at what they are said of, and at nothing else."""

import pytest

from tests.draw.plain_sheet import plain_drawing
from tracegraph.draw.badging import Ground
from tracegraph.draw.drawing import Noted
from tracegraph.draw.marks import QUIET, noted, take_crosses
from tracegraph.draw.overlay import Between, Mark, OnNet, OnPart, Role, Target
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Box, Shape, Stroke, Text
from tracegraph.draw.symbols.badges import cross, halo, tone_of, trace
from tracegraph.stage.part import Pin

(PLAIN,) = plain_drawing().sheets
R1 = PLAIN.parts[0]


def ground() -> Ground:
    return Ground(PLAIN.parts, PLAIN.wires, PLAIN.labels, Room())


def put(target: Target, role: Role, text: str = "") -> Noted:
    (found,) = noted(ground(), [Mark(target, role, text)], 3)
    return found


def strokes(shapes: tuple[Shape, ...]) -> list[Stroke]:
    return [shape for shape in shapes if isinstance(shape, Stroke)]


@pytest.mark.parametrize(
    "target",
    [
        OnPart("R9"),
        OnNet("ELSE"),
        Pin("R1", "3"),
        Pin("R9", "1"),
        Between(Pin("R1", "2"), Pin("R9", "1")),
        Between(Pin("R1", "1"), Pin("R2", "2")),
    ],
)
def test_what_is_not_on_the_sheet_has_no_mark(target: Target) -> None:
    assert list(noted(ground(), [Mark(target, Role.BROKEN)], 0)) == []


@pytest.mark.parametrize("role", Role)
def test_a_part_has_a_halo_behind_it_but_where_it_is_only_told_of(role: Role) -> None:
    found = put(OnPart("r1"), role)
    assert found.under == (() if role in QUIET else halo(R1.body, role))
    assert found.layer == 3
    toned = {shape.tone for shape in strokes(found.over) if not shape.closed}
    assert toned == (set() if role in QUIET else {tone_of(role)})


def test_a_missing_part_is_dashed_already_and_has_its_badge_only() -> None:
    ghost = R1._replace(status="ghost")
    sheet = ground()._replace(drawn=(ghost,))
    (found,) = noted(sheet, [Mark(OnPart("R1"), Role.ABSENT)], 0)
    assert found.under == ()
    assert [shape.text for shape in found.over if isinstance(shape, Text)] == ["A"]


def test_a_broken_pin_has_a_cross_on_it() -> None:
    found = put(Pin("R2", "1"), Role.BROKEN)
    for shape in cross((6, 13), Role.BROKEN):
        assert shape in found.over
    plain = put(Pin("R2", "1"), Role.SUSPECT)
    assert not set(cross((6, 13), Role.SUSPECT)) & set(plain.over)


def test_a_broken_wire_has_a_cross_between_its_pins_and_is_traced_from_one_to_the_other(
) -> None:  # fmt: skip
    found = put(Between(Pin("R1", "2"), Pin("J1", "1")), Role.BROKEN)
    run = (((6, 12), (14, 12)), ((6, 10), (6, 12)))
    assert found.under == trace(run, Role.BROKEN)
    for shape in cross((6, 11), Role.BROKEN):
        assert shape in found.over


def test_a_net_that_is_wrong_is_traced_whole() -> None:
    found = put(OnNet("MID"), Role.BRIDGED)
    assert found.under == trace(PLAIN.wires[0].segments, Role.BRIDGED)


@pytest.mark.parametrize("role", sorted(QUIET))
def test_a_reading_is_only_a_text_after_the_name_of_its_net(role: Role) -> None:
    found = put(OnNet("MID"), role, "6.00 V")
    assert (found.under, found.over) == ((), ())
    (text,) = found.texts
    label = PLAIN.labels[0].box
    assert list(text.at) == pytest.approx([label.right + 0.4, label.centre[1]])
    assert text.tone is tone_of(role)


def test_a_reading_with_no_room_anywhere_is_left_out() -> None:
    full = ground()._replace(room=Room([Box(-99, -99, 99, 99)]))
    assert list(noted(full, [Mark(OnNet("MID"), Role.READING, "6 V")], 0)) == []


def test_what_cant_give_way_takes_its_room_first() -> None:
    sheet, spot = ground(), Box(5.9, 12.9, 6.1, 13.1)
    take_crosses(
        sheet, [Mark(Pin("R2", "1"), Role.SUSPECT), Mark(OnNet("MID"), Role.BROKEN)]
    )
    assert sheet.room.free(spot)
    take_crosses(sheet, [Mark(Pin("R2", "1"), Role.BROKEN)])
    assert not sheet.room.free(spot)
    between = Between(Pin("R1", "2"), Pin("R2", "1"))
    assert sheet.room.free(Box(6, 11.4, 6.1, 11.6))
    take_crosses(sheet, [Mark(between, Role.BROKEN)])
    assert not sheet.room.free(Box(6, 11.4, 6.1, 11.6))
