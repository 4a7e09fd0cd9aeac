"""Values on the screen and in notation."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.display import show, written
from tracegraph.marking import parse_literal, parse_value


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (9800, "ohm", "9.8 k"),
        (4700, "ohm", "4.7 k"),
        (1.2e6, "ohm", "1.2 M"),
        (47, "ohm", "47 Ω"),
        (0.22, "ohm", "0.22 Ω"),
        (0.005, "ohm", "5 mΩ"),
        (0, "ohm", "0 Ω"),
        (999.6, "ohm", "1 k"),
        (999_600, "ohm", "1 M"),
        (-10e3, "ohm", "-10 k"),  # a charged capacitor under the probes
        (float("inf"), "ohm", "open"),
        (2.2e-9, "F", "2.2 nF"),
        (2.2e-3, "F", "2200 µF"),
        (0.482, "V", "0.482 V"),
        (12, "V", "12 V"),
        (0.005, "V", "5 mV"),
        (1e-3, "A", "1 mA"),
        (0.25, "W", "0.25 W"),
        (18e3, "Hz", "18 kHz"),
        (3435, "K", "3435 K"),
        (85, "C", "85 °C"),
        (0.45, "%", "45 %"),
        (60, "turns", "60 turns"),
        (200, "", "200"),
    ],
)
def test_a_value_looks_as_on_a_display(value: float, unit: str, text: str) -> None:
    assert show(value, unit) == text


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (4700, "ohm", "4k7"),
        (470, "ohm", "470R"),
        (0.22, "ohm", "0R22"),
        (0, "ohm", "0R"),
        (1e-7, "F", "100n"),
        (2.2e-9, "F", "2n2"),
        (4.7e-6, "H", "4u7"),
        (5.1, "V", "5.1V"),
        (0.06, "V/dec", "60mV"),
        (3435, "K", "3435K"),
        (0.45, "%", "45%"),
        (1234.5678, "ohm", "1.2345678k"),
    ],
)
def test_a_value_in_notation(value: float, unit: str, text: str) -> None:
    assert written(value, unit) == text


def test_the_unmeasured_is_not_written() -> None:
    with pytest.raises(ValueError, match="inf"):
        written(float("inf"), "ohm")


UNITS = ("ohm", "F", "H", "V", "V/dec", "A", "W", "Hz", "s", "K", "C", "%", "turns", "")
NUMBERS = st.just(0.0) | st.floats(1e-12, 1e9) | st.integers(1, 10**7).map(float)


@given(value=NUMBERS, unit=st.sampled_from(UNITS))
def test_what_is_written_reads_back(value: float, unit: str) -> None:
    back = parse_value(written(value, unit), unit)
    assert back is not None
    assert back.number == pytest.approx(value, rel=1e-9, abs=0)
    assert not back.coded
    assert not back.others


@given(value=st.floats(-1e9, -1e-12), unit=st.sampled_from(("ohm", "V", "A", "C")))
def test_a_negative_display_reads_back(value: float, unit: str) -> None:
    back = parse_literal(written(value, unit), unit)
    assert back is not None
    assert back.number == pytest.approx(value, rel=1e-9, abs=0)


@given(value=st.floats(1e-12, 1e9), unit=st.sampled_from(("ohm", "F", "V", "A", "Hz")))
def test_what_is_shown_is_near_the_value(value: float, unit: str) -> None:
    back = parse_literal(show(value, unit), unit)
    assert back is not None
    assert back.number == pytest.approx(value, rel=0.006)
