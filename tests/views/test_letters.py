"""Letters that every terminal can show."""

import pytest

from tracegraph.views.letters import plain_letters, spaced, unbroken


@pytest.mark.parametrize(
    ("fine", "plain"),
    [
        ("47 Ω", "47 ohm"),
        ("47 \N{OHM SIGN}", "47 ohm"),
        ("4.7 µF", "4.7 uF"),
        ("4.7 \N{GREEK SMALL LETTER MU}F", "4.7 uF"),
        ("±5 %", "+/-5 %"),
        ("25 °C", "25 C"),
    ],
)
def test_every_sign_has_a_plain_form(fine: str, plain: str) -> None:
    assert plain_letters(fine) == plain
    assert plain.isascii()


def test_unbreaking_a_text_keeps_its_words() -> None:
    text = "write `rest P12 -- COM 1k8` beside R13 1 k, C12 10 µF and 0.72 V"
    assert spaced(unbroken(text)) == text
    assert "1\u00a0k" in unbroken(text)
