"""A sheet laid out: sister channels alike, what hangs between rails in a row below."""

from itertools import combinations

import pytest

from tests.draw.written import cells, example, example_drawing, part_of, sheet_of
from tracegraph.draw.drawing import Drawn, Frame, Sheet
from tracegraph.draw.layout import MARGIN, TITLE, wired
from tracegraph.draw.shapes import Grid, around

PUMP = "solar-pump-half-bridge"


@pytest.fixture(scope="module")
def pump() -> Sheet:
    (sheet,) = example_drawing(PUMP).sheets
    return sheet


def pairs() -> list[tuple[str, str]]:
    """Return sister parts, `U31` and `U41`, by the numbers that the file gives them."""
    parts = {part.ref for part in example(PUMP).parts if part.channel == "U"}
    return sorted((ref, ref.replace("3", "4", 1)) for ref in parts)


def frame(sheet: Sheet, name: str) -> Frame:
    return next(one for one in sheet.frames if one.name == name)


def inside(one: Drawn, corner: Grid) -> list[tuple[str, Grid]]:
    """Return the pins of a part as seen from the corner of its channel."""
    x, y = corner
    return [(leg.pin, (leg.at[0] - x, leg.at[1] - y)) for leg in one.legs]


@pytest.mark.parametrize(("mine", "yours"), pairs())
def test_sister_channels_are_drawn_alike(pump: Sheet, mine: str, yours: str) -> None:
    corners = [frame(pump, name).box[:2] for name in ("U", "V")]
    places = [(round(x - 0.5), round(y - 0.5)) for x, y in corners]
    one, other = part_of(pump, mine), part_of(pump, yours)
    assert (one.channel, other.channel) == ("U", "V")
    assert inside(one, places[0]) == inside(other, places[1])


def test_a_frame_holds_its_channel_and_nothing_else(pump: Sheet) -> None:
    for one in pump.parts:
        for border in pump.frames:
            held = around((border.box, one.body)) == border.box
            assert held is (one.channel == border.name)
            assert held or not border.box.meets(one.body)


def test_frames_keep_clear_of_each_other(pump: Sheet) -> None:
    assert {one.name for one in pump.frames} == {"U", "V"}
    for one, other in combinations(pump.frames, 2):
        assert not one.box.meets(other.box)


def test_what_hangs_between_rails_only_stands_in_a_row_below() -> None:
    sheet = sheet_of(
        "C1 100n P12 -- COM\nR1 1k P12 -- A\nQ1 npn b=A c=P12 e=COM\nC2 47u P12 -> COM\n"
    )
    row = [part_of(sheet, ref).body for ref in ("C1", "C2")]
    rest = [part_of(sheet, ref).body for ref in ("R1", "Q1")]
    assert min(box.top for box in row) > max(box.bottom for box in rest)
    assert row[0].right < row[1].left


def test_a_long_row_goes_on_below() -> None:
    lines = "".join(f"C{k} 100n P12 -- COM\n" for k in range(12))
    tops = [part_of(sheet_of(lines), f"C{k}").body.top for k in range(12)]
    assert tops == sorted(tops)
    assert 1 < len(set(tops)) < 4


def test_there_is_room_around_everything_and_for_the_title() -> None:
    laid = wired(cells("R1 1k P12 -- A\nR2 1k A -- COM\n"), polish=True)
    boxes = [one.body for one in laid.drawn] + [one.box for one in laid.ports]
    whole = around(boxes)
    assert whole.left >= MARGIN
    assert whole.top >= MARGIN + TITLE
    assert whole.right <= laid.size[0] - MARGIN
    assert whole.bottom <= laid.size[1] - MARGIN


def test_no_cells_are_an_empty_sheet() -> None:
    laid = wired([], polish=True)
    assert (laid.drawn, laid.wires, laid.failed) == ((), (), frozenset())
