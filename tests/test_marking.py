"""Values as written by hand and as marked on parts.

Codes after IEC 60062 and EIA-96, both from memory; what neither says is common
practice, no source.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.marking import decode_mark, parse_any, parse_literal, parse_value

WRITTEN = (
    # the ways of the bench, one value each
    ("4k7", "ohm", 4700),
    ("4K7", "ohm", 4700),
    ("4.7k", "ohm", 4700),
    ("4,7k", "ohm", 4700),
    ("4700", "ohm", 4700),
    ("4.7 k", "ohm", 4700),
    ("4k7Ω", "ohm", 4700),  # Greek capital omega, U+03A9
    ("4k7\u2126", "ohm", 4700),  # ohm sign
    ("4.7 kohm", "ohm", 4700),
    ("R47", "ohm", 0.47),
    ("0R22", "ohm", 0.22),
    ("0,22R", "ohm", 0.22),
    (".47", "ohm", 0.47),
    ("22R", "ohm", 22),
    ("22 r", "ohm", 22),
    ("22", "ohm", 22),
    ("100E", "ohm", 100),
    ("1M", "ohm", 1e6),
    ("1M5", "ohm", 1.5e6),
    ("5m", "ohm", 5e-3),
    ("R005", "ohm", 5e-3),
    ("0", "ohm", 0),
    ("470", "ohm", 470),
    ("100n", "F", 100e-9),
    ("100 nF", "F", 100e-9),
    ("100N", "F", 100e-9),
    ("2n2", "F", 2.2e-9),
    ("n47", "F", 0.47e-9),
    ("4p7", "F", 4.7e-12),
    ("47u", "F", 47e-6),
    ("47µF", "F", 47e-6),  # micro sign, U+00B5
    ("47\u03bcF", "F", 47e-6),  # Greek mu
    ("2u2", "F", 2.2e-6),
    ("104", "F", 100e-9),
    ("47", "F", 47e-12),
    ("4700", "F", 4.7e-9),
    ("0.1", "F", 100e-9),
    ("1mH", "H", 1e-3),
    ("22u", "H", 22e-6),
    ("4R7", "H", 4.7e-6),
    ("470", "H", 47e-6),
    ("5V1", "V", 5.1),
    ("15V", "V", 15),
    ("15", "V", 15),
    ("60mV", "V", 0.06),
    ("-8V", "V", -8),
    ("\u22128V", "V", -8),  # the minus sign proper
    ("10A", "A", 10),
    ("3,15A", "A", 3.15),
    ("500mA", "A", 0.5),
    ("1/4W", "W", 0.25),
    ("0W5", "W", 0.5),
    ("18kHz", "Hz", 18e3),
    ("18khz", "Hz", 18e3),
    ("50 Hz", "Hz", 50),
    ("10s", "s", 10),
    ("3435K", "K", 3435),
    ("85C", "C", 85),
    ("85 °C", "C", 85),
    ("40n", "C", 40e-9),
    ("45%", "%", 0.45),
    ("45", "%", 0.45),
    ("100%", "", 1),
    ("60 turns", "turns", 60),
    ("60", "turns", 60),
    ("200", "", 200),
)


@pytest.mark.parametrize(("text", "unit", "number"), WRITTEN)
def test_a_written_value_is_read(text: str, unit: str, number: float) -> None:
    value = parse_value(text, unit)
    assert value is not None
    assert value.number == pytest.approx(number, rel=1e-12)
    assert value.unit == unit


NOT_VALUES = (
    ("", "ohm"),
    ("npn", "ohm"),
    ("4k7q", "ohm"),
    ("4k7 4k7", "ohm"),
    ("-470", "ohm"),
    ("4..7k", "ohm"),
    ("12V", "ohm"),
    ("1N4148", "F"),  # a type number
    ("2N2222", "F"),
    ("BC857", "V"),
    ("²", "ohm"),
    ("10k@", "ohm"),
    ("10k/", "ohm"),
    ("47u/npn", "F"),
    ("9" * 400, "ohm"),
)


@pytest.mark.parametrize(("text", "unit"), NOT_VALUES)
def test_what_is_no_value_gives_nothing(text: str, unit: str) -> None:
    assert parse_value(text, unit) is None


def test_tails_are_kept_apart() -> None:
    smoothing = parse_value("47u/25V 20%", "F")
    assert smoothing is not None
    assert smoothing.second is not None
    assert (smoothing.second.number, smoothing.second.unit) == (25, "V")
    assert smoothing.tolerance == pytest.approx(0.2)
    drop = parse_value("0.60V@1mA", "V")
    assert drop is not None
    assert (drop.number, drop.at) == (0.6, 1e-3)


def test_a_capacitors_bare_second_number_is_its_voltage() -> None:
    value = parse_value("470u/25", "F")
    assert value is not None
    assert value.second is not None
    assert value.second.unit == "V"


@pytest.mark.parametrize("text", ["10k 5%", "10k±5%", "10k +/-5 %", "10k+-5%", "10kJ"])
def test_a_tolerance_may_follow(text: str) -> None:
    value = parse_value(text, "ohm")
    assert value is not None
    assert value.number == 10e3
    assert value.tolerance == pytest.approx(0.05)


@pytest.mark.parametrize("text", ["10n", "4k7j", "10kf", "10p"])
def test_a_tolerance_letter_is_a_capital(text: str) -> None:
    """IEC 60062 has capitals only: 10n is a capacitor, not 10 ohm within 30 %."""
    assert parse_value(text, "ohm") is None


# A bare number is what it says where that is a usual value; else its decoding is.
@pytest.mark.parametrize(
    ("text", "number", "coded", "others"),
    [
        ("470", 470, False, [47]),
        ("4700", 4700, False, [470]),
        ("100", 100, False, [10]),
        ("102", 102, False, [1000]),  # 102 ohm is a value of E96
        ("472", 4700, True, []),
        ("103", 10e3, True, []),
        ("1002", 10e3, True, []),
        ("345", 345, False, []),  # neither is usual
        ("47", 47, False, []),
        ("47E", 3.01e6, True, [47]),
        ("5m", 5e-3, False, [5e6]),
        ("4,700", 4.7, False, [4700]),
    ],
)
def test_a_bare_number_of_ohms(
    text: str, number: float, coded: bool, others: list[float]
) -> None:
    value = parse_value(text, "ohm")
    assert value is not None
    assert value.number == pytest.approx(number)
    assert value.coded is coded
    assert [other for other, _ in value.others] == pytest.approx(others)


def test_a_capacitors_470_asks_whether_it_was_written_out() -> None:
    value = parse_value("470", "F")
    assert value is not None
    assert value.number == pytest.approx(47e-12)
    assert value.coded
    assert value.others[0][0] == pytest.approx(470e-12)


MARKS = (
    # text, unit, number, tolerance, volts
    ("472", "ohm", 4.7e3, None, None),
    ("4702", "ohm", 47e3, None, None),
    ("4700", "ohm", 470, None, None),  # a mark is always the code
    ("470", "ohm", 47, None, None),
    ("000", "ohm", 0, None, None),
    ("0", "ohm", 0, None, None),
    ("R47", "ohm", 0.47, None, None),
    ("R47F", "ohm", 0.47, 0.01, None),
    ("4K7J", "ohm", 4.7e3, 0.05, None),
    ("100K", "ohm", 100e3, None, None),
    ("22R", "ohm", 22, None, None),
    ("01C", "ohm", 10e3, 0.01, None),
    ("68X", "ohm", 49.9, 0.01, None),
    ("5L0", "ohm", 5e-3, None, None),
    ("104", "F", 100e-9, None, None),
    ("229", "F", 2.2e-12, None, None),
    ("103J", "F", 10e-9, 0.05, None),
    ("104M", "F", 100e-9, 0.2, None),
    ("4p7C", "F", 4.7e-12, 0.25 / 4.7, None),
    ("104Z", "F", 100e-9, 0.8, None),
    ("2A103J", "F", 10e-9, 0.05, 100),
    ("2A103", "F", 10e-9, None, 100),
    ("226", "F", 22e-6, None, None),
    ("106C", "F", 10e-6, None, 16),
    ("J106", "F", 10e-6, None, 6.3),
    ("104/50V", "F", 100e-9, None, 50),
    ("A5", "F", 100e-9, None, None),
    ("101", "H", 100e-6, None, None),
    ("4R7", "H", 4.7e-6, None, None),
    ("R47", "H", 0.47e-6, None, None),
    ("4N7", "H", 4.7e-9, None, None),
    ("101K", "H", 100e-6, 0.1, None),
    ("C5V1", "V", 5.1, 0.05, None),
    ("T3.15A", "A", 3.15, None, None),
    ("F500mAH250V", "A", 0.5, None, 250),
)


@pytest.mark.parametrize(("text", "unit", "number", "tolerance", "volts"), MARKS)
def test_a_mark_is_decoded(
    text: str, unit: str, number: float, tolerance: float | None, volts: float | None
) -> None:
    value = decode_mark(text, unit)
    assert value is not None
    assert value.number == pytest.approx(number)
    assert value.tolerance == (None if tolerance is None else pytest.approx(tolerance))
    assert (value.second.number if value.second else None) == volts


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("5V1", "V", 5.1),
        ("10A", "A", 10),
        ("4k7", "ohm", 4700),
        ("0R22", "ohm", 0.22),
        ("2n2", "F", 2.2e-9),
        ("47u/25V", "F", 47e-6),
        ("1mH", "H", 1e-3),
        ("18kHz", "Hz", 18e3),
        ("45%", "%", 0.45),
        ("85C", "C", 85),
        ("3435K", "K", 3435),
        ("10s", "s", 10),
        ("1/4W", "W", 0.25),
        ("60 turns", "turns", 60),
        ("4700", "", 4700),
        ("5m", "", 5e-3),
        ("0.3R@10V", "ohm", 0.3),
        ("12V 5%", "V", 12),
    ],
)
def test_the_letters_tell_the_unit(text: str, unit: str, number: float) -> None:
    value = parse_any(text)
    assert value is not None
    assert value.unit == unit
    assert value.number == pytest.approx(number)


@pytest.mark.parametrize("text", ["GATE", "1N4148", "2N7002", "npn", "BC857", "PWM"])
def test_a_word_is_no_value(text: str) -> None:
    assert parse_any(text) is None


def test_a_display_is_never_decoded() -> None:
    for text, number in (
        ("472", 472),
        (".482", 0.482),
        ("-0.02", -0.02),
        ("0,48", 0.48),
    ):
        value = parse_literal(text, "ohm")
        assert value is not None
        assert value.number == pytest.approx(number)
        assert not value.coded


UNITS = ("ohm", "F", "H", "V", "V/dec", "A", "W", "Hz", "s", "K", "C", "%", "turns", "")
SNIPPETS = st.sampled_from(
    [*"0123456789", *"kKmMuUµnNpPrRgGVAWFHEzCJLT", *"+-−±.,/@% Ω\u2126°", "turns", "10"]
)
TEXTS = st.text(max_size=80) | st.lists(SNIPPETS, max_size=12).map("".join)


@given(text=TEXTS, unit=st.sampled_from(UNITS))
def test_no_text_at_all_breaks_the_reading(text: str, unit: str) -> None:
    for value in (
        parse_value(text, unit),
        decode_mark(text, unit),
        parse_literal(text, unit),
        parse_any(text),
    ):
        assert value is None or abs(value.number) < float("inf")
