"""The drawing as PDF: the same geometry, words as words, a page a sheet."""

import io
import re
from math import cos, hypot, radians, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pypdf import PageObject, PdfReader

from tests.views.drawings import named, small, two_sheets
from tracegraph.draw.drawing import Drawing, Sheet
from tracegraph.draw.shapes import Arc, Text
from tracegraph.views.arcs import arc_centre, arc_sweep
from tracegraph.views.palette import DARK
from tracegraph.views.pdf import pdf
from tracegraph.views.right_to_left import visual_order

PLACES = st.floats(-50, 50).map(lambda one: round(one, 2))


def pages(drawing: Drawing, *, dark: bool = False) -> list[PageObject]:
    return list(PdfReader(io.BytesIO(pdf(drawing, dark=dark))).pages)


def content(page: PageObject) -> str:
    contents = page.get_contents()
    assert contents is not None
    return contents.get_data().decode("latin-1")


def one(sheet: Sheet) -> Drawing:
    return Drawing("one", (sheet,))


def test_a_page_a_sheet_each_of_its_size() -> None:
    first, second = pages(two_sheets())
    # 220 by 180 and 220 by 200 pixels of 1/96 inch, in points of 1/72 inch.
    assert [float(side) for side in first.mediabox[2:]] == [165, 135]
    assert [float(side) for side in second.mediabox[2:]] == [165, 150]


def test_words_are_words() -> None:
    (page,) = pages(one(small()))
    found = page.extract_text()
    for text in ("A small drive", "R1", "10k", "GATE", "0.68 V", "suspect"):
        assert text in found


def test_letters_beyond_the_plain_ones_are_there() -> None:
    (page,) = pages(one(named("Ω µ ± → Привет", "λ")))
    assert "Ω µ ± → Привет" in page.extract_text()


def test_the_font_travels_with_it() -> None:
    (page,) = pages(one(small()))
    embedded, others = page._get_fonts()
    assert {name.split("+")[-1] for name in embedded} == {
        "DejaVuSans",
        "DejaVuSans-Bold",
    }
    assert others == set()


def test_wires_are_lines_of_the_same_geometry() -> None:
    drawn = content(pages(one(small()))[0])
    # GATE from (140, 80) to (180, 80) on a page of 180, y upwards.
    assert re.search(r"\b140 100 m 180 100 l\b", drawn)
    assert ".75 0 0 .75 0 0 cm" in drawn
    assert "[4 3] 0 d" in drawn


def test_dark_ground() -> None:
    drawn = content(pages(one(small()), dark=True)[0])
    red, green, blue = (part / 255 for part in bytes.fromhex(DARK.paper[1:]))
    shown = " ".join(f"{part:.6f}".lstrip("0") for part in (red, green, blue))
    assert f"{shown} rg" in drawn


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert pdf(two_sheets()) == pdf(two_sheets())


@pytest.mark.parametrize(
    "text",
    ["<script>", "(\\)%", "\x00\n\u202e", "😀👩‍🔧", "עברית", "X" * 300, "\ud800", ""],
)
def test_hostile_names_are_safe(text: str) -> None:
    (page,) = pages(Drawing(text, (named(text, text),)))
    page.extract_text()


def test_its_title_is_that_of_the_section() -> None:
    reader = PdfReader(io.BytesIO(pdf(Drawing("belt\nmotor", (small(),)))))
    assert reader.metadata is not None
    assert reader.metadata.title == "belt motor"


def test_a_hebrew_name_is_set_in_the_order_it_is_seen() -> None:
    assert visual_order("GATE") == "GATE"
    assert visual_order("אבג") == "גבא"
    assert visual_order("R1 אב גד 5V") == "R1 דג בא 5V"
    (page,) = pages(one(small()._replace(title=Text((1, 2), "אבג"))))
    assert page is not None


@given(PLACES, PLACES, PLACES, PLACES, st.floats(0.01, 90), st.booleans())
def test_an_arc_goes_from_its_start_to_its_end(
    x: float, y: float, u: float, v: float, radius: float, clockwise: bool
) -> None:
    assume(hypot(u - x, v - y) > 0.05)
    arc = Arc((x, y), (u, v), radius, clockwise)
    (a, b), round_ = arc_centre(arc)
    start, extent = arc_sweep(arc)
    assert 0 < abs(extent) <= 180.01
    assert (extent > 0) is clockwise
    for angle, (p, q) in ((start, arc.start), (start + extent, arc.end)):
        place = (a + round_ * cos(radians(angle)), b + round_ * sin(radians(angle)))
        assert place == pytest.approx((p, q), abs=1e-3)
