"""The whole picture: the best of some layouts, its titles, what is found on the board."""

from collections.abc import Callable

import pytest

from tests.draw.written import HEAD, example, example_drawing, sheet_of, stage_of
from tracegraph.draw.cell import text_box
from tracegraph.draw.draw import NARROWEST, TRIES, draw
from tracegraph.draw.items import Section, items_of
from tracegraph.draw.layout import arrangements, wired
from tracegraph.draw.overlay import Mark, OnPart, Overlay, Role
from tracegraph.draw.score import score
from tracegraph.draw.shapes import Text
from tracegraph.views.svg import svg_of

TREADMILL, PUMP = "treadmill-gate-drive", "solar-pump-half-bridge"


@pytest.mark.parametrize("name", [TREADMILL, PUMP])
def test_a_section_of_ours_looks_as_it_did(
    name: str, golden: Callable[[str, str], None]
) -> None:
    golden(f"drawings/{name}.svg", svg_of(example_drawing(name)))


@pytest.mark.parametrize("name", [TREADMILL, PUMP])
def test_no_layout_that_was_tried_is_better(name: str) -> None:
    stage = example(name)
    section = Section(stage, items_of(stage))
    (sheet,) = example_drawing(name).sheets
    tried = [wired(cells, polish=False) for cells in arrangements(section, TRIES)]
    worths = [score(laid.wires, laid.size).worth for laid in tried if not laid.failed]
    assert len(worths) > 1
    kept = [laid for laid in tried if laid.drawn == sheet.parts]
    assert [score(laid.wires, laid.size).worth for laid in kept] == [min(worths)]


def test_a_section_with_nothing_in_it_is_an_empty_sheet() -> None:
    (sheet,) = draw(stage_of("", "")).sheets
    assert (sheet.parts, sheet.wires, sheet.ports, sheet.labels) == ((), (), (), ())
    assert sheet.width >= NARROWEST


def test_a_long_title_is_cut_on_the_paper_and_kept_whole() -> None:
    long = "pump drive of the second well behind the barn, before it was struck by lightning"
    sheet = sheet_of("R1 1k P12 -- COM\n", f'stage "{long}"\n{HEAD}')
    assert sheet.title.full == long
    assert text_box(sheet.title).right <= sheet.width
    short = sheet_of("R1 1k P12 -- COM\n", f'stage "pump"\n{HEAD}')
    assert (short.title.text, short.title.full) == ("pump", "")


def test_a_sheet_among_several_is_numbered() -> None:
    lines = "".join(f"R{k} 1k N{k} -- N{k + 1}\n" for k in range(70))
    sheets = draw(stage_of(lines, f'stage "line"\n{HEAD}')).sheets
    count = len(sheets)
    assert count > 1
    assert [sheet.number for sheet in sheets] == list(range(1, count + 1))
    assert [sheet.title.text for sheet in sheets] == [
        f"line, sheet {k} of {count}" for k in range(1, count + 1)
    ]


BROKEN = "R1 1k P12 -- A\nR2 1k A -- COM\nR3 1k A -- COM\nbreak A at R3.1\n"


def test_a_break_that_was_found_is_marked_without_being_asked_for() -> None:
    sheet = sheet_of(BROKEN)
    (note,) = sheet.notes
    assert (note.role, note.layer) == (Role.BROKEN, 0)
    assert note.title == "A found parted at R3.1"
    told = [one.text for one in sheet.legend if isinstance(one, Text)]
    assert "found on the board" in told


def test_an_overlay_comes_after_what_the_file_says() -> None:
    mark = Mark(OnPart("R1"), Role.SUSPECT, rank=1)
    (sheet,) = draw(stage_of(BROKEN), (Overlay("suspects", (mark,)),)).sheets
    assert [(note.role, note.layer) for note in sheet.notes] == [
        (Role.BROKEN, 0),
        (Role.SUSPECT, 1),
    ]


def test_what_to_heed_is_on_the_picture_of_a_live_board() -> None:
    """The motor supply of a treadmill is rectified mains: common practice, no source."""
    (sheet,) = example_drawing(TREADMILL).sheets
    told = " ".join(one.text for one in sheet.legend if isinstance(one, Text))
    assert "320 V" in told
    assert "nplug" in told
    assert sheet_of("R1 1k P12 -- COM\n").legend == ()
