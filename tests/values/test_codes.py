"""Codes on parts: EIA-96, IEC 60062 letters and digits, voltage codes (from memory)."""

import eseries
import pytest

from tracegraph.values import codes
from tracegraph.values.bands import colours, decode_bands


# EIA-96: 01 = 100, 10 = 124, 66 = 475, 68 = 499, 96 = 976.
@pytest.mark.parametrize(
    ("text", "ohms"),
    [
        ("01A", 100),
        ("10A", 124),
        ("66A", 475),
        ("68A", 499),
        ("96A", 976),
        ("01Z", 0.1),
        ("01Y", 1),
        ("01R", 1),
        ("01X", 10),
        ("01S", 10),
        ("01B", 1e3),
        ("01H", 1e3),
        ("01C", 10e3),
        ("01D", 100e3),
        ("01E", 1e6),
        ("01F", 10e6),
    ],
)
def test_eia96(text: str, ohms: float) -> None:
    assert codes.eia96(text) == pytest.approx(ohms)


def test_eia96_counts_through_the_whole_e96_series() -> None:
    reference = eseries.series(eseries.ESeries.E96)
    decoded = [codes.eia96(f"{place:02}A") for place in range(1, 97)]
    assert decoded == pytest.approx([100 * v / reference[0] for v in reference])


@pytest.mark.parametrize("text", ["00A", "97A", "01G", "1A", "01", "0１A"])
def test_no_eia96(text: str) -> None:
    assert codes.eia96(text) is None


@pytest.mark.parametrize(
    ("letter", "tolerance"),
    [
        ("B", 0.001),
        ("C", 0.0025),
        ("D", 0.005),
        ("F", 0.01),
        ("G", 0.02),
        ("J", 0.05),
        ("K", 0.1),
        ("M", 0.2),
    ],
)
def test_tolerance_letters_of_iec_60062(letter: str, tolerance: float) -> None:
    assert codes.TOLERANCES[letter] == tolerance
    assert codes.capacitor_tolerance(letter, 1e-9) == tolerance


def test_below_10_pf_a_tolerance_letter_is_in_picofarads() -> None:
    assert codes.capacitor_tolerance("D", 5e-12) == pytest.approx(0.1)
    assert codes.capacitor_tolerance("D", 10e-12) == 0.005


# Common practice, no source: a digit for the decade, a letter for the number.
@pytest.mark.parametrize(
    ("text", "volts"),
    [
        ("0J", 6.3),
        ("1A", 10),
        ("1C", 16),
        ("1E", 25),
        ("1V", 35),
        ("1H", 50),
        ("1J", 63),
        ("2A", 100),
        ("2E", 250),
        ("2G", 400),
        ("2J", 630),
        ("3A", 1000),
    ],
)
def test_voltage_codes(text: str, volts: float) -> None:
    assert codes.rated_volts(text) == pytest.approx(volts)


@pytest.mark.parametrize(
    ("text", "farads"), [("A0", 1e-12), ("A2", 100e-12), ("S3", 4.7e-9), ("A9", 1e-13)]
)
def test_letter_and_digit_of_eia_198(text: str, farads: float) -> None:
    assert codes.eia198(text) == pytest.approx(farads)


# IEC 60062, colour code: text, ohms, tolerance.
@pytest.mark.parametrize(
    ("text", "ohms", "tolerance"),
    [
        ("brown black orange gold", 10e3, 0.05),
        ("yellow violet red gold", 4.7e3, 0.05),
        ("yellow violet gold silver", 4.7, 0.1),
        ("red red silver gold", 0.22, 0.05),
        ("yellow violet red", 4.7e3, 0.2),
        ("brown black black red brown", 10e3, 0.01),
        ("orange white violet orange red", 397e3, 0.02),
        ("red violet black brown brown red", 2.7e3, 0.01),
        ("BN BK OG GD", 10e3, 0.05),  # abbreviations of IEC 60757
        ("grey red gray violet purple", 828e7, 0.001),
        ("black", 0, None),
    ],
)
def test_colour_bands(text: str, ohms: float, tolerance: float | None) -> None:
    value = decode_bands(colours(text) or ())
    assert value is not None
    assert value.number == pytest.approx(ohms)
    assert value.tolerance == tolerance


@pytest.mark.parametrize(
    "text",
    [
        "brown black",
        "black brown red gold",
        "gold red red gold",
        "red red red black",
        "brown black orange mauve",
        "red red red red red white",
        "",
    ],
)
def test_no_colour_bands(text: str) -> None:
    assert decode_bands(colours(text) or ()) is None
