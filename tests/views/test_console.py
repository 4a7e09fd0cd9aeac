"""Pages at a terminal: the same words, with weight and colour where there is any."""

import io

import pytest
from rich.console import Console

from tracegraph.views.console import show_page
from tracegraph.views.page import (
    Entries,
    Entry,
    Line,
    Page,
    Table,
    Tone,
    Verbatim,
    caution,
    title,
)
from tracegraph.views.plain import plain_text

PAGE: Page = (
    title("gate drive"),
    caution("unplug it, wait, measure HV+ to COM"),
    Line("trace it further", Tone.ASK, 2, "- "),
    Entries((Entry("0.67 V", "diode", (Line("Through D1 [bold] and R13 1 k."),)),)),
    Table(("net", "pins"), (("GATE", "Q24.g R26.2"),)),
    Verbatim("R1 1k A -- B\n      ="),
)


def shown(page: Page, **options: object) -> str:
    out = io.StringIO()
    pinned = {"width": 80, "legacy_windows": False, "_environ": {}, **options}
    show_page(page, Console(file=out, **pinned))  # type: ignore[arg-type]  # a dict of options
    return out.getvalue()


def test_it_holds_the_words_of_the_plain_page() -> None:
    def words(text: str) -> list[str]:
        return [word for word in text.split() if word.strip("-─")]

    assert words(shown(PAGE)) == words(plain_text(PAGE))


def test_brackets_are_text_not_markup() -> None:
    assert "[bold]" in shown(PAGE)


@pytest.mark.parametrize("width", [60, 80])
def test_it_fits_the_terminal(width: int) -> None:
    long = Line("a board " * 40)
    page = (*PAGE, long, Entries((Entry("OL", "beep", (long,)),)))
    lines = shown(page, width=width).splitlines()
    assert max(map(len, lines)) <= width


def test_a_terminal_shows_the_display_in_weight() -> None:
    text = shown(PAGE, force_terminal=True, color_system="standard")
    assert "\x1b[1;36m0.67 V\x1b[0m" in text


def test_no_color_is_respected() -> None:
    text = shown(PAGE, force_terminal=True, _environ={"NO_COLOR": "1"})
    assert "36m" not in text
    assert "35m" not in text
