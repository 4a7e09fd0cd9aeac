"""What to set and what to take, against formulas worked out by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.powerup.sizing import (
    LAMPS,
    OVERLOAD,
    bootstrap_charge,
    bootstrap_farads,
    current_limit,
    discharge_resistor,
    filling_seconds,
    meter_rating,
    series_lamp,
)
from tracegraph.values.preferred import is_usual


def test_a_resistor_for_a_charger_of_sixty_eight_microfarads() -> None:
    # 325 V on 68 uF: V^2/R within five times the rating, R C ln(325 / 10).
    found = discharge_resistor(68e-6, 325.0)
    assert found is not None
    assert (found.ohms, found.watts) == (4700.0, 5.0)
    assert found.peak == pytest.approx(325**2 / 4700)
    assert found.seconds == pytest.approx(4700 * 68e-6 * 3.4812, rel=1e-4)


@given(farads=st.floats(1e-6, 3e-3), volts=st.floats(61.0, 800.0))
def test_a_discharge_resistor_bears_what_it_gets(farads: float, volts: float) -> None:
    found = discharge_resistor(farads, volts)
    if found is None:
        return
    assert is_usual(found.ohms, "E6")
    assert found.peak <= OVERLOAD * found.watts * 1.001
    assert found.amperes <= 0.5001
    assert found.joules == pytest.approx(farads * volts**2 / 2)


def test_a_link_too_great_for_any_of_them_gets_none() -> None:
    assert discharge_resistor(0.1, 800.0) is None


def test_a_lamp_is_dark_at_rest_and_fills_the_link() -> None:
    # 230 V, 0.2 W idle, 68 uF: P >= 10 x 0.2 W and P >= V^2 C / 1 s = 3.6 W.
    assert series_lamp(230.0, 0.2, 68e-6) == LAMPS[0]
    assert series_lamp(230.0, 0.2, 1.36e-3) == 100.0  # V^2 C = 72 W
    assert series_lamp(230.0, 50.0, 68e-6) is None


def test_a_limit_leaves_room_for_what_is_not_in_the_file() -> None:
    # 17 mA twice over is 34 mA: the next step is 50 mA.
    assert current_limit(0.017, 0) == 0.05
    assert current_limit(0.017, 2) == 0.07
    assert current_limit(0.0, 0) == 0.02


@given(amps=st.floats(0.0, 20.0), chips=st.integers(0, 9))
def test_a_limit_is_never_less_than_twice_what_is_drawn(
    amps: float, chips: int
) -> None:
    assert current_limit(amps, chips) >= 2 * amps * (1 - 1e-6)


def test_a_capacitor_fills_at_the_limit() -> None:
    # t = C V / I: 1000 uF to 15 V at 50 mA takes 0.3 s.
    assert filling_seconds(1000e-6, 15.0, 0.05) == pytest.approx(0.3)


def test_bootstrap_sizing() -> None:
    # Q = Qg + I t, C >= Q / dV: 40 nC and 1.5 mA for 31 us, half a volt.
    charge = bootstrap_charge(40e-9, 1.5e-3, 31.25e-6)
    assert charge == pytest.approx(86.9e-9, rel=1e-3)
    assert bootstrap_farads(charge, 0.5) == pytest.approx(174e-9, rel=1e-2)


def test_leads_are_made_for_more_than_they_meet() -> None:
    assert meter_rating(341.0) == 600.0
    assert meter_rating(740.0) == 1000.0
    assert meter_rating(1200.0) is None
