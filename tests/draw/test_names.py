"""Every name that somebody wrote stands once at its net, or joins the net by itself."""

import pytest

from tests.draw.written import section_of, sheet_of
from tracegraph.draw.cell import text_box
from tracegraph.draw.drawing import Drawn, NetLabel, PortForm, Sheet
from tracegraph.draw.names import (
    WIDEST,
    first_fit,
    labels_of,
    nameless,
    spots_of,
    taken_boxes,
)
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Anchor, Box, Point

PAIR = (
    "R1 1k P12 -- TAP\nR2 1k TAP -- COM\nR3 1k TAP -- OUT\nQ1 npn b=OUT c=P12 e=COM\n"
)
EVERYTHING = Box(-999, -999, 999, 999)


def told(sheet: Sheet) -> list[str]:
    return sorted(label.net for label in sheet.labels)


def away(sheet: Sheet, label: NetLabel) -> float:
    """Return how far a name's box is from the copper of its net."""
    left, top, right, bottom = label.box
    wires = [wire for wire in sheet.wires if wire.net == label.net]
    places: list[Point] = [
        leg.at
        for one in sheet.parts
        for leg in one.legs
        if _on(one, leg.pin, label.net)
    ]
    for wire in wires:
        for (x, y), (u, v) in wire.segments:
            steps = round(u - x + v - y)
            way = (u - x) / steps, (v - y) / steps
            places += [(x + k * way[0], y + k * way[1]) for k in range(steps + 1)]
    return min(
        max(left - x, x - right, 0) + max(top - y, y - bottom, 0) for x, y in places
    )


def _on(one: Drawn, pin: str, net: str) -> bool:
    return dict(one.nets)[pin] == net


def test_every_net_that_somebody_named_has_its_name_beside_it() -> None:
    sheet = sheet_of(PAIR)
    assert told(sheet) == ["OUT", "TAP"]
    for label in sheet.labels:
        assert away(sheet, label) < 1.5


def test_a_net_whose_flag_tells_its_name_is_not_named_again() -> None:
    assert told(sheet_of(PAIR + "input TAP 0V / 5V\n")) == ["OUT"]


def test_a_net_that_nobody_named_has_no_name() -> None:
    assert told(sheet_of(PAIR.replace("OUT", "Q1.b"))) == ["TAP"]


def test_a_long_name_is_cut_beside_its_wire_and_whole_in_its_label() -> None:
    name = "GATE_DRIVE_OF_THE_LOW_SIDE_SWITCH"
    label = first_fit(name, [((0, 0), Anchor.START)], Room())
    assert label is not None
    assert (label.net, label.text.full) == (name, name)
    assert label.text.text.endswith("…")
    assert label.box.right - label.box.left <= WIDEST
    short = first_fit("TAP", [((0, 0), Anchor.START)], Room())
    assert short is not None
    assert (short.text.text, short.text.full) == ("TAP", "")


def test_a_name_takes_its_room() -> None:
    room = Room()
    spot: tuple[Point, Anchor] = ((0, 0), Anchor.START)
    first = first_fit("A", [spot], room)
    assert first is not None
    room.take(first.box)
    assert first_fit("B", [spot], room) is None


def test_where_all_is_taken_the_nets_are_told_to_be_nameless() -> None:
    section, sheet = section_of(PAIR), sheet_of(PAIR)
    room = Room([EVERYTHING])
    labels = labels_of(section, sheet.parts, sheet.ports, sheet.wires, room)
    assert labels == ()
    assert nameless(section, sheet.ports, labels) == {"TAP", "OUT"}
    assert nameless(section, sheet.ports, sheet.labels) == frozenset()


def test_a_net_that_has_no_room_for_its_name_is_joined_by_name() -> None:
    names = [f"A_VERY_LONG_NAME_FOR_NET_{k}" for k in range(4)]
    pins = " ".join(f"{k + 1}={name}" for k, name in enumerate(names))
    sheet = sheet_of("".join(f"U{k} ic {pins}\n" for k in (1, 2, 3)))
    joined = [port.net for port in sheet.ports if port.form is PortForm.NAME]
    assert joined
    assert {joined.count(net) for net in joined} == {3}
    assert not {wire.net for wire in sheet.wires} & set(joined)
    assert {*told(sheet), *joined} == set(names)


def test_a_name_stands_over_the_longest_level_piece_first() -> None:
    (wire,) = [one for one in sheet_of(PAIR).wires if one.net == "TAP"]
    level = [(a, b) for a, b in wire.segments if a[1] == b[1]]
    (x, y), (u, _) = max(level, key=lambda one: one[1][0] - one[0][0])
    (at, _) = next(spots_of(wire, ()))
    assert x < at[0] < u
    assert at[1] < y


@pytest.mark.parametrize("lines", [PAIR, PAIR + "not traced TAP\n"])
def test_no_name_stands_on_anything(lines: str) -> None:
    sheet = sheet_of(lines)
    taken = list(taken_boxes(sheet.parts, sheet.ports, sheet.wires))
    for label in sheet.labels:
        assert text_box(label.text) == label.box
        assert not any(box.meets(label.box) for box in taken)


def test_rails_and_grounds_have_no_name_but_in_their_own_symbols() -> None:
    assert sheet_of("R1 1k P12 -- COM\n").labels == ()
