"""The measure menu on traces that are known exactly."""

from math import log

import numpy as np
import pytest

from tracegraph.waves.measures import measures


def trapezoid(period: float = 10.0) -> tuple[np.ndarray, np.ndarray]:
    """Return two periods: 1 V, up in 1 s to 5 V, for 3 s, down in 2 s."""
    one = [(0, 1), (2, 1), (3, 5), (6, 5), (8, 1), (10, 1)]
    points = [(t + k * period, v) for k in range(2) for t, v in one]
    times, volts = np.array(points, float).T
    return times, volts


def test_a_trapezoid_is_measured_as_it_was_made() -> None:
    found = measures(*trapezoid())
    assert (found.top, found.base) == pytest.approx((5.0, 1.0), abs=0.03)
    assert found.hertz == pytest.approx(0.1)
    assert found.width == pytest.approx(4.5, abs=0.03)  # from 2.5 s to 7 s
    assert found.duty == pytest.approx(0.45, abs=0.003)
    assert found.rise == pytest.approx(0.8, abs=0.02)
    assert found.fall == pytest.approx(1.6, abs=0.02)
    assert found.overshoot == pytest.approx(0.0, abs=0.03)


def test_a_spike_is_over_the_top_and_not_the_top() -> None:
    times, volts = trapezoid()
    extra = np.array([3.05, 3.1, 8.05, 8.1])
    spiky = np.interp(extra, times, volts)
    spiky[0], spiky[2] = 6.5, 0.2
    order = np.argsort(np.concatenate([times, extra]), kind="stable")
    found = measures(
        np.concatenate([times, extra])[order], np.concatenate([volts, spiky])[order]
    )
    assert found.overshoot == pytest.approx(1.5, abs=0.05)
    assert found.spike == pytest.approx(0.8, abs=0.05)
    assert found.high == 6.5
    assert found.low == 0.2


def test_an_exponential_takes_ln_9_time_constants() -> None:
    """2.197 RC from 10 to 90 % (any gate-drive application note)."""
    up = np.linspace(0, 30, 3001)
    rise, fall = 1 - np.exp(-up), np.exp(-up)
    times = np.concatenate([up + 30 * k + k * 1e-9 for k in range(5)])
    volts = np.concatenate([fall * 0, rise, fall, rise, fall])
    found = measures(times, volts)
    assert found.rise == pytest.approx(log(9), rel=5e-3)
    assert found.fall == pytest.approx(log(9), rel=5e-3)


def test_what_hardly_moves_is_no_wave() -> None:
    times = np.linspace(0, 1, 100)
    found = measures(times, 320 + 0.1 * np.sin(40 * times))
    assert found.hertz is None
    assert found.top == pytest.approx(320, abs=0.1)
