"""Capacitors let go of their charge as the textbook says."""

from math import exp, inf, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm

from tracegraph.powerup.link.discharge import (
    Held,
    energy,
    left_after,
    seconds_to,
    series_seconds,
    split,
)

OHMS = st.floats(1e3, 1e6)
FARADS = st.floats(1e-6, 1e-2)


def test_one_time_constant_leaves_a_part_in_e() -> None:
    # V = V0 exp(-t / RC): any textbook of electricity.
    assert left_after(100e3, 470e-6, 325.0, 47.0) == pytest.approx(325.0 / exp(1))


def test_a_link_takes_rc_ln_v0_by_v() -> None:
    # t = RC ln(V0 / V): 100 k, 470 uF, 325 V to 60 V.
    assert seconds_to(100e3, 470e-6, 325.0, 60.0) == pytest.approx(79.41, abs=0.01)


def test_what_is_safe_already_takes_no_time() -> None:
    assert seconds_to(100e3, 470e-6, 50.0, 60.0) == 0.0


def test_energy_is_half_c_v_squared() -> None:
    # 680 uF at 400 V: 54.4 J (E = C V^2 / 2).
    assert energy(680e-6, 400.0) == pytest.approx(54.4)


@given(ohms=OHMS, farads=FARADS, start=st.floats(70.0, 800.0))
def test_time_and_voltage_are_each_others_inverse(
    ohms: float, farads: float, start: float
) -> None:
    seconds = seconds_to(ohms, farads, start, 60.0)
    assert left_after(ohms, farads, start, seconds) == pytest.approx(60.0)


@given(ohms=OHMS, farads=FARADS, start=st.floats(70.0, 800.0))
def test_two_equal_halves_take_as_long_as_one(
    ohms: float, farads: float, start: float
) -> None:
    halves = Held((2 * farads, 2 * farads), (ohms / 2, ohms / 2))
    one = seconds_to(ohms, farads, start, 60.0)
    assert series_seconds(halves, start, 60.0) == pytest.approx(one, rel=1e-6)


@pytest.mark.parametrize("across", [inf, 220e3])
def test_unequal_halves_agree_with_the_matrix_exponential(across: float) -> None:
    # An independent way: dV/dt = A V, V(t) = expm(A t) V0 (scipy.linalg.expm).
    held = Held((330e-6, 470e-6), (47e3, 100e3), across)
    seconds = series_seconds(held, 560.0, 60.0)
    shared = 0.0 if across == inf else 1 / across
    rates = np.array(
        [
            [-(1 / 47e3 + shared) / 330e-6, -shared / 330e-6],
            [-shared / 470e-6, -(1 / 100e3 + shared) / 470e-6],
        ]
    )
    left = expm(rates * seconds) @ np.array(split(held, 560.0))
    assert left.sum() == pytest.approx(60.0, rel=1e-6)


def test_halves_that_nothing_empties_stay() -> None:
    assert series_seconds(Held((1e-4, 1e-4), (inf, inf)), 560.0, 60.0) == inf


def test_a_half_without_its_resistor_keeps_its_charge() -> None:
    assert series_seconds(Held((1e-4, 1e-4), (47e3, inf)), 560.0, 60.0) == inf


def test_balance_resistors_part_the_volts() -> None:
    volts = split(Held((1e-4, 1e-4), (100e3, 300e3)), 400.0)
    assert volts == pytest.approx((100.0, 300.0))


def test_without_them_equal_charges_do() -> None:
    # C1 V1 = C2 V2: the smaller capacitor takes more.
    first, second = split(Held((1e-4, 3e-4), (inf, inf)), 400.0)
    assert (first, second) == pytest.approx((300.0, 100.0))


def test_a_long_run_is_not_a_formula() -> None:
    # The slower half decides in the end: t -> R2 C2 ln(V2 / V).
    held = Held((10e-6, 470e-6), (10e3, 220e3))
    alone = 220e3 * 470e-6 * log(split(held, 400.0)[1] / 10.0)
    assert series_seconds(held, 400.0, 10.0) == pytest.approx(alone, rel=1e-6)
