"""Texts on the sheet: the table of widths is the font's own, and names fit their boxes."""

import json
import unicodedata
from importlib.resources import files
from itertools import chain
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.draw.text import cut, one_line, width, widths

FONT = Path(str(files("tracegraph.draw") / "font"))
# Latin with its marks, Greek, Cyrillic, Latin and Greek with accents; then punctuation,
# powers, currency, letterlike, arrows, mathematics, technical signs, shapes, dingbats.
COVERED = [*range(0x20, 0x530), *range(0x1E00, 0x27C0)]
HOSTILE = [
    "<script>alert('x')</script>",
    "\"'&<>]]>",
    "X" * 300,
    "עברית שם",
    "\u202eEVIL\u202c",
    "😀👩‍🔧🇩🇪",
    "栅极驱动电路",
    "e" + "\u0301" * 40,
    "a\nb\tc\x00d\x7f",
    "﷽",
    "\ud800lone",
]


def own_widths(name: str) -> dict[int, int]:
    """Return what the font file itself says: the advance of each code point."""
    with TTFont(FONT / name) as font:
        advances = font["hmtx"]
        return {code: advances[glyph][0] for code, glyph in font.getBestCmap().items()}


def table_text(fonts: dict[str, dict[int, int]]) -> str:
    """Return the table as it is shipped: runs of neighbouring codes, one a line."""
    weights = []
    for weight, wide in fonts.items():
        codes = [code for code in COVERED if code in wide]
        starts = [code for code in codes if code - 1 not in codes]
        rows = []
        for start in starts:
            run = [wide[start]]
            while start + len(run) in wide and start + len(run) in COVERED:
                run.append(wide[start + len(run)])
            rows.append(f'"{start:04X}": {json.dumps(run, separators=(",", ":"))}')
        weights.append(f'"{weight}": {{\n' + ",\n".join(rows) + "\n}")
    return '{\n"em": 2048,\n' + ",\n".join(weights) + "\n}\n"


@pytest.fixture(scope="module")
def fonts() -> dict[str, dict[int, int]]:
    return {
        "plain": own_widths("DejaVuSans.ttf"),
        "bold": own_widths("DejaVuSans-Bold.ttf"),
    }


def test_the_table_is_what_the_font_says(
    fonts: dict[str, dict[int, int]], request: pytest.FixtureRequest
) -> None:
    path, text = FONT / "widths.json", table_text(fonts)
    if request.config.getoption("--update-golden"):
        path.write_text(text, "ascii", newline="\n")
    assert path.read_text("ascii") == text


@pytest.mark.parametrize("weight", ["plain", "bold"])
def test_every_letter_has_room_for_the_font(
    weight: str, fonts: dict[str, dict[int, int]]
) -> None:
    narrow = {
        f"{code:04X}"
        for code, wide in fonts[weight].items()
        if width(chr(code), 2048, bold=weight == "bold") < wide
        and unicodedata.category(chr(code)) not in {"Mn", "Cf"}
    }
    assert narrow == set()


@pytest.mark.parametrize("text", ["GATE", "10k", "4.7 µF", "Ω ± × → ≤ °C", "Привет"])
def test_a_text_is_as_wide_as_its_letters(
    text: str, fonts: dict[str, dict[int, int]]
) -> None:
    for weight, own in fonts.items():
        whole = sum(own[ord(char)] for char in text) / 2048 * 1.1
        assert width(text, 1.1, bold=weight == "bold") == pytest.approx(whole)


def test_a_mark_over_a_letter_takes_no_width() -> None:
    assert width("e\u0301", 1) == width("e", 1) == width("ё", 1)


def test_letters_of_other_fonts_are_given_ample_room() -> None:
    assert 1.0 <= width("栅", 1) <= 1.2
    assert width("😀", 1) >= 1.37  # as wide as the widest common picture font has it
    assert width("ש", 1) >= 1.0


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("room", [0.5, 3.0, 12.0])
def test_hostile_names_stay_in_their_boxes(text: str, room: float) -> None:
    short = cut(text, room, 1.1)
    assert width(short, 1.1) <= room
    assert short.replace("\N{ZERO WIDTH JOINER}", "").isprintable()


@given(st.text(st.characters()), st.floats(0.1, 40), st.booleans())
def test_any_text_fits_and_shows(text: str, room: float, bold: bool) -> None:
    short = cut(text, room, 1.1, bold=bold)
    assert width(short, 1.1, bold=bold) <= room
    controls = {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"}
    assert not controls & {unicodedata.category(char) for char in short}
    assert one_line(short) == short


@given(st.text(st.sampled_from("GATE_1 .+-"), max_size=20))
def test_a_text_that_fits_is_left_alone(text: str) -> None:
    clean = one_line(text)
    assert cut(text, width(clean, 1.1), 1.1) == clean


def test_more_room_never_shows_less() -> None:
    shown = [len(cut("GATE_DRIVE_LOW_SIDE", room / 4, 1)) for room in range(1, 80)]
    assert shown == sorted(shown)
    assert shown[0] == 0
    assert shown[-1] == len("GATE_DRIVE_LOW_SIDE")


@pytest.mark.parametrize("mark", ["\u202e", "\u2066", "\u200f", "\u061c", "\ufeff"])
def test_marks_that_turn_a_line_are_taken_out(mark: str) -> None:
    assert one_line(f"A{mark}B") == "AB"


def test_the_table_is_small() -> None:
    assert len(widths().plain) > 1500
    assert all(0 <= one < 2 for one in chain(*(w.values() for w in widths())))
    assert (FONT / "widths.json").stat().st_size < 40_000


def test_the_font_comes_with_its_licence() -> None:
    licence = (FONT / "LICENSE.txt").read_text("utf-8")
    assert "Bitstream Vera" in licence
    assert "DejaVu changes are in public domain" in licence
