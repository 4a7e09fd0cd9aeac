"""The drawing as SVG: safe, addressable, plain in its geometry, the same every time."""

import re
from collections import Counter
from collections.abc import Callable
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.views.drawings import named, small, two_sheets
from tracegraph.draw.drawing import Drawing, Sheet
from tracegraph.draw.shapes import Anchor, Text
from tracegraph.views.svg import svg, svg_of
from tracegraph.views.svg_elements import escaped, identity, number

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    "<script>alert(1)</script>",
    "]]><svg onload=alert(1)>",
    "\" onload=\"alert(1)' x='",
    "X" * 300,
    "-- & &amp; &#0;",
    "\u202eEVIL\u2069",
    "עברית",
    "😀👩‍🔧",
    "\x00\x08\x1b\x7f\ufffe\ud800",
    "a\nb\tc",
    "",
]


def read(text: str) -> ET.Element:
    """Return the root, read by a strict parser."""
    return ET.fromstring(text)


def classed(root: ET.Element, name: str) -> list[ET.Element]:
    return [one for one in root.iter() if name in one.get("class", "").split()]


def title(one: ET.Element) -> str | None:
    return one.findtext(f"{SVG}title")


@pytest.mark.parametrize("ground", ["light", "dark"])
def test_a_small_drawing_is_written_so(
    golden: Callable[[str, str], None], ground: str
) -> None:
    golden(f"views/small-{ground}.svg", svg(small(), dark=ground == "dark"))


def test_several_sheets_stand_one_above_the_other(
    golden: Callable[[str, str], None],
) -> None:
    text = svg_of(two_sheets())
    golden("views/two-sheets.svg", text)
    root = read(text)
    assert (root.get("width"), root.get("height")) == ("220", "380")
    assert [one.get("y") for one in root.findall(f"{SVG}svg")] == ["0", "180"]


def test_one_sheet_alone_is_the_whole_drawing() -> None:
    assert svg_of(Drawing("one", (small(),))) == svg(small())


def test_it_has_a_size_a_ground_a_title_and_words_for_who_cannot_see() -> None:
    root = read(svg(small()))
    size = root.get("width"), root.get("height")
    assert (size, root.get("viewBox")) == (("220", "180"), "0 0 220 180")
    assert root.get("role") == "img"
    assert title(root) == "A small drive"
    assert root.findtext(f"{SVG}desc") == "Circuit diagram. Parts: H1, R1."
    (paper,) = classed(root, "paper")
    assert (paper.get("width"), paper.get("height")) == size
    assert paper.get("fill") == "#ffffff"


def test_layers_come_in_their_order() -> None:
    (sheet,) = classed(read(svg(small())), "sheet")
    assert [one.get("class") for one in sheet] == [
        *("frames", "tints", "wires", "parts", "ports"),
        *("names", "marks", "texts", "legend"),
    ]


def test_every_part_can_be_addressed() -> None:
    part, lamp = classed(read(svg(small())), "part")
    assert part.get("id") == "part-R1"
    data = {key: part.get(f"data-{key}") for key in ("ref", "kind", "status")}
    assert data == {"ref": "R1", "kind": "resistor", "status": "fitted"}
    assert title(part) == "R1: resistor 10k"
    assert (part.get("data-channel"), lamp.get("data-channel")) == (None, "U")


def test_every_pin_stands_exactly_at_its_leg() -> None:
    pins = classed(read(svg(small())), "pin")
    legs = [(part.ref, leg) for part in small().parts for leg in part.legs]
    for pin, (ref, leg) in zip(pins, legs, strict=True):
        (spot,) = pin.findall(f"{SVG}circle")
        place = (pin.get("data-x"), pin.get("data-y"))
        assert place == (str(leg.at[0] * 10), str(leg.at[1] * 10))
        assert (spot.get("cx"), spot.get("cy")) == (
            pin.get("data-x"),
            pin.get("data-y"),
        )
        assert pin.get("data-pin") == f"{ref}.{leg.pin}"
        assert pin.get("id") == f"pin-{ref}.{leg.pin}"
    assert title(pins[1]) == "R1.2: GATE"
    assert pins[1].get("data-net") == "GATE"


def test_every_net_is_a_group_with_plain_pieces() -> None:
    pwm, gate, ghost = classed(read(svg(small())), "net")
    assert [one.get("data-net") for one in (pwm, gate, ghost)] == [
        "PWM",
        "GATE",
        "GATE",
    ]
    assert [one.get("id") for one in (gate, ghost)] == ["net-GATE", "ghost-net-GATE"]
    assert title(gate) == "GATE: R1.2, H1.1"
    (wire,) = classed(gate, "wire")
    assert wire.get("d") == "M100 80L140 80M140 80L180 80"
    (dot,) = classed(gate, "dot")
    assert (dot.get("cx"), dot.get("cy")) == ("140", "80")
    assert classed(ghost, "wire")[0].get("stroke-dasharray")


def test_ports_say_what_they_are_and_where_they_meet_the_net() -> None:
    flag, ground = classed(read(svg(small())), "port")
    keys = ("net", "form", "x", "y")
    assert [flag.get(f"data-{key}") for key in keys] == ["PWM", "input", "30", "80"]
    assert [ground.get(f"data-{key}") for key in keys] == [
        "COM",
        "ground",
        "140",
        "120",
    ]


def test_marks_say_their_role_and_target() -> None:
    marks = classed(read(svg(small())), "mark")
    told = {(m.get("data-role"), m.get("data-target"), title(m)) for m in marks}
    assert told == {
        ("suspect", "R1", "first"),
        ("level", "GATE", "should be 5 V"),
    }


def test_text_stays_text_tied_on_its_middle_height() -> None:
    words = next(
        one for one in read(svg(small())).iter(f"{SVG}text") if one.text == "R1"
    )
    middle = small().parts[0].texts[0]
    # The capitals of DejaVu Sans are 1493 of 2048 high (its glyph of H).
    height = 1493 / 2048 * middle.size * 10
    assert float(words.get("y", "")) == pytest.approx(
        middle.at[1] * 10 + height / 2, abs=0.05
    )
    assert words.get("font-weight") == "700"
    assert words.get("text-anchor") == Anchor.MIDDLE.value


def test_a_text_cut_short_tells_the_whole_of_it() -> None:
    text = Text((1, 2), "GATE_DR…", full="GATE_DRIVE_LOW_SIDE")
    root = read(svg(small()._replace(title=text)))
    (group,) = classed(root, "title")
    assert group.findtext(f"{SVG}text/{SVG}title") == text.full
    assert title(root) == text.full


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_names_are_safe(text: str) -> None:
    whole = svg(named(text, text))
    root = read(whole)
    whole.encode("utf-8")
    tags = {one.tag.removeprefix(SVG) for one in root.iter()}
    assert tags <= {"svg", "g", "title", "desc", "rect", "path", "circle", "text"}
    assert not [
        key for one in root.iter() for key in one.attrib if key.startswith("on")
    ]
    drawn = "".join(one.text or "" for one in root.iter(f"{SVG}text"))
    assert not re.search("[\u202a-\u202e\u2066-\u2069\x00-\x1f]", drawn)


@given(st.text(st.characters(), max_size=30), st.text(st.characters(), max_size=30))
def test_any_name_gives_a_document_that_parses(ref: str, net: str) -> None:
    root = read(svg(named(ref, net)))
    ids = Counter(one.get("id") for one in root.iter() if one.get("id"))
    assert set(ids.values()) == {1}


@given(st.text(st.characters()), st.text(st.characters()))
def test_two_names_never_share_an_id(a: str, b: str) -> None:
    assert (identity("net", a) == identity("net", b)) == (a == b)
    assert re.fullmatch(r"[\w.:~-]+", identity("net", a), re.ASCII)


def test_long_names_differ_in_their_digest_alone() -> None:
    a, b = (identity("net", "X" * 300 + end) for end in "ab")
    assert a != b
    assert len(a) <= 80


@pytest.mark.parametrize("drawing", [Drawing("one", (small(),)), two_sheets()])
def test_no_id_stands_twice(drawing: Drawing) -> None:
    ids = Counter(
        one.get("id") for one in read(svg_of(drawing)).iter() if one.get("id")
    )
    assert set(ids.values()) == {1}


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert svg(small()) == svg(small())


@pytest.mark.parametrize(
    ("value", "written"),
    [(12, "12"), (12.04, "12"), (12.05001, "12.1"), (-0.01, "0"), (1e6, "1000000")],
)
def test_numbers_are_written_to_a_tenth(value: float, written: str) -> None:
    assert number(value) == written


def test_what_xml_has_no_place_for_is_replaced() -> None:
    assert escaped("a\x00b\ufffec") == "a\ufffdb\ufffdc"
    assert escaped("a\nb") == "a&#10;b"


def test_an_empty_sheet_is_still_a_picture() -> None:
    empty = Sheet(1, Text((1, 1), ""), 4, 4, (), (), (), ())
    root = read(svg(empty))
    assert root.findtext(f"{SVG}desc") == "Circuit diagram. Parts: none."
    assert classed(root, "paper")
