"""What a marking can mean, the likeliest first."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.display import show
from tracegraph.meanings import readings_of

# Codes: IEC 60062, EIA-96 (from memory); their order is common practice, no source.
MEANINGS: tuple[tuple[str, list[str]], ...] = (
    ("103", ["10 k", "10 nF", "10 mH", "103 Ω"]),
    ("104", ["100 k", "100 nF", "100 mH", "104 Ω"]),
    ("470", ["47 Ω", "47 pF", "47 µH", "470 Ω"]),
    ("226", ["22 µF", "22 M", "22 H", "226 Ω"]),  # resistors stop at some 10 M
    ("475", ["4.7 M", "4.7 µF", "475 Ω", "4.7 H"]),
    ("1002", ["10 k", "1 k"]),
    ("4k7", ["4.7 k"]),
    ("R47", ["0.47 Ω", "470 nH"]),
    ("8R2", ["8.2 Ω", "8.2 µH"]),
    ("01C", ["10 k"]),
    ("22R", ["22 Ω", "1.65 Ω"]),
    ("4K7J", ["4.7 k"]),
    ("2A103J", ["10 nF"]),
    ("5V1", ["5.1 V"]),
    ("000", ["0 Ω"]),
    ("brown black orange gold", ["10 k"]),
    ("brown black black red brown", ["10 k", "120 Ω"]),
    ("BC857", []),
    ("1N4148", []),
    ("", []),
)


@pytest.mark.parametrize(("text", "shown"), MEANINGS)
def test_a_marking_has_these_meanings(text: str, shown: list[str]) -> None:
    found = [show(meaning.number, meaning.unit) for meaning in readings_of(text)]
    assert sorted(found) == sorted(shown)
    assert found[:1] == shown[:1]


def test_a_film_capacitor_says_its_voltage_and_tolerance() -> None:
    (film,) = readings_of("2A103J")
    assert (film.volts, film.tolerance) == (100, 0.05)
    assert film.words == "10 and 3 zeros, in pF"


def test_an_eia96_code_explains_itself() -> None:
    (chip,) = readings_of("01C")
    assert (chip.source, chip.tolerance) == ("EIA-96", 0.01)
    assert chip.words == "01 stands for 100, C for times 100"


def test_a_meaning_that_is_hardly_made_says_so() -> None:
    meanings = {meaning.code: meaning.why for meaning in readings_of("226")}
    assert "hardly made" in meanings["three-digit resistor code"]
    assert "hardly made" not in meanings["capacitor code"]


@given(st.text(max_size=30) | st.text("0123456789RKMpnuVABCJ ./-", max_size=8))
def test_every_text_has_meanings_or_none(text: str) -> None:
    for meaning in readings_of(text):
        assert meaning.code
        assert meaning.words
        assert meaning.why
