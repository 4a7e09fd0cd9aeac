"""IEC 60063 series against `eseries`, a general-purpose reference library."""

import eseries
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tracegraph.values.preferred import SERIES, is_usual, nearest_usual, steps


@pytest.mark.parametrize("series", SERIES)
def test_every_series_is_that_of_the_reference(series: str) -> None:
    reference = eseries.series(eseries.ESeries[series])
    assert [round(step * 100) for step in steps(series)] == [
        round(value * 100 / reference[0]) for value in reference
    ]


@given(value=st.floats(1e-11, 1e9), series=st.sampled_from(SERIES))
def test_the_nearest_value_is_that_of_the_reference(value: float, series: str) -> None:
    ours = nearest_usual(value, series)
    theirs = eseries.find_nearest(eseries.ESeries[series], value)
    # Half-way between two values rounding may take either.
    assume(
        abs(abs(ours - value) - abs(theirs - value)) > 1e-9 * value or ours == theirs
    )
    assert ours == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("value", [4700, 0.47, 4.7e-11, 1e6, 9.1, 10])
def test_values_of_every_shop_are_usual(value: float) -> None:
    assert is_usual(value)


@pytest.mark.parametrize("value", [4720, 0.0, -47, 103, float("inf"), float("nan")])
def test_others_are_not(value: float) -> None:
    assert not is_usual(value)


def test_an_unknown_series_is_refused() -> None:
    with pytest.raises(ValueError, match="E7"):
        steps("E7")


def test_nothing_is_nearest_to_zero() -> None:
    with pytest.raises(ValueError, match="no nearest"):
        nearest_usual(0)
