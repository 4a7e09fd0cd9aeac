"""Pages as text: aligned, wrapped at words, values never torn."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.views.page import (
    GAP,
    Entries,
    Entry,
    Line,
    Page,
    Table,
    Verbatim,
    caution,
    title,
)
from tracegraph.views.plain import plain_text

WORDS = st.lists(st.text("abc", min_size=1, max_size=8), min_size=1, max_size=30)


def test_a_long_line_hangs_under_its_text() -> None:
    text = plain_text((caution("HV+ is at 320 V; unplug it and wait"),), 30)
    assert text == ("CAUTION: HV+ is at 320 V;\n         unplug it and wait\n")


def test_a_value_and_its_unit_stay_together() -> None:
    text = plain_text((Line("through the resistor R13 1 k to N1"),), 26)
    assert "R13\n1 k" in text


def test_quoted_notation_stays_together() -> None:
    text = plain_text((Line("measure and write `rest P12 -- COM 1k8` here"),), 30)
    assert "`rest P12 -- COM 1k8`" in text


def test_entries_put_the_display_first() -> None:
    entry = Entry("9.8 k", "ohms", (Line("R1 10 k beside R2 470 k."),))
    assert plain_text((Entries((entry,)),)) == (
        "  9.8 k       ohms   R1 10 k beside R2 470 k.\n"
    )


def test_a_long_display_gets_a_line_of_its_own() -> None:
    entry = Entry("0.72 V, 1.15 V or OL", "diode", (Line("The rest decides."),))
    first, second = plain_text((Entries((entry,)),)).splitlines()
    assert first == "  0.72 V, 1.15 V or OL"
    assert second == "              diode  The rest decides."


def test_columns_stand_under_their_heads() -> None:
    table = Table(("net", "pins"), (("GATE", "Q24.g R26.2"), ("COM", "R27.2")))
    assert plain_text((table,)) == (
        "  net   pins\n  ----  -----------\n  GATE  Q24.g R26.2\n  COM   R27.2\n"
    )


def test_the_widest_column_gives_way_first() -> None:
    table = Table(("a", "b"), (("short", "one two three four five six"),))
    lines = plain_text((table,), 30).splitlines()
    assert lines[2:] == ["  short  one two three four", "         five six"]


def test_a_cell_may_hold_several_lines() -> None:
    table = Table(("a", "b"), (("0.66 V\n(0.6 to 0.7 V)", "x"),))
    lines = plain_text((table,)).splitlines()
    assert [line.strip() for line in lines[2:]] == [
        "0.66 V          x",
        "(0.6 to 0.7 V)",
    ]


def test_marked_lines_are_left_alone() -> None:
    assert plain_text((Verbatim("R1  1k\n    ==", 2),), 60) == "  R1  1k\n      ==\n"


@pytest.mark.parametrize("width", [60, 80, 120])
@given(words=WORDS)
def test_nothing_is_wider_than_the_screen(width: int, words: list[str]) -> None:
    text = " ".join(words)
    page: Page = (
        title(text),
        GAP,
        Line(text, indent=4, mark="- "),
        Entries((Entry("1 k", "ohms", (Line(text),)),)),
        Table(("a", "b", "c"), ((text, text, text),)),
    )
    written = plain_text(page, width)
    assert max(map(len, written.splitlines())) <= width
    assert written.split().count(words[0]) >= 6
