"""How likely readings are, against scipy by full enumeration of what may have slipped."""

from itertools import combinations
from math import exp, inf, log, nan, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import logsumexp, ndtr

from tracegraph.diagnose.foretold import shares
from tracegraph.diagnose.hypothesis import Range
from tracegraph.diagnose.likelihood import (
    SLIPPED_OPEN,
    SLIPS,
    Seen,
    Weighed,
    gains,
    measure,
    normal_tail,
    seen,
    weigh,
)
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.network.circuit import Floats
from tracegraph.stage.reading import Mode, Reading, Shown

HANDHELD = find_meter(DEFAULT)
SLIP = 0.02
STRAY = log(0.05)  # logarithm of a slip's density, as good as any for these tests


def number(value: float, deviation: float = 0.01) -> Seen:
    """Return a reading of a number."""
    return Seen(value, nan, 0, deviation, STRAY)


def open_above(limit: float, deviation: float = 0.01) -> Seen:
    """Return a reading of OL."""
    return Seen(nan, limit, 0, deviation, STRAY)


def still(told: Floats) -> Floats:
    """Return no variance besides."""
    return np.zeros_like(told)


def weighed(readings: list[Seen], told: Floats, shared: Floats) -> Weighed:
    return weigh(
        readings, np.atleast_2d(told), shared, still(np.atleast_2d(told)), SLIP
    )


def enumerated(
    readings: list[Seen], told: Floats, shared: Floats, most: int = SLIPS
) -> tuple[float, Floats]:
    """Return the density and each one's slip from every set of slips, by scipy."""
    from scipy.stats import multivariate_normal  # takes seconds to load

    count = len(readings)
    y = np.array([one.number for one in readings])
    own = np.diag([one.deviation**2 for one in readings])
    logs, sets = [], []
    for size in range(min(most, count) + 1):
        for slipped in combinations(range(count), size):
            rest = [k for k in range(count) if k not in slipped]
            chance = size * (STRAY + log(SLIP)) + len(rest) * log(1 - SLIP)
            if rest:
                table = (shared + own)[np.ix_(rest, rest)]
                law = multivariate_normal(told[rest], table)
                chance += float(law.logpdf(y[rest]))
            logs.append(chance)
            sets.append(slipped)
    total = float(logsumexp(logs))
    slips = np.zeros(count)
    for chance, slipped in zip(logs, sets, strict=True):
        slips[list(slipped)] += exp(chance - total)
    return total, slips


def covariance(rng: np.random.Generator, count: int) -> Floats:
    """Return what some parts' spread gives readings: S D S'."""
    effect = rng.normal(0, 0.03, (count, count + 1))
    return np.asarray(effect @ effect.T)


@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("seed", range(5))
def test_up_to_two_readings_are_weighed_exactly(count: int, seed: int) -> None:
    """Two readings slip in four ways only, and all of them are looked at."""
    rng = np.random.default_rng(seed)
    shared, told = covariance(rng, count), rng.uniform(0, 1, count)
    readings = [number(float(x)) for x in told + rng.normal(0, 0.1, count)]
    found = weighed(readings, told, shared)
    density, slips = enumerated(readings, told, shared)
    near = 1e-9 if count < 3 else 0.05
    assert found.chance[0] == pytest.approx(density, abs=near)
    assert found.slips[0] == pytest.approx(slips, abs=near)


@pytest.mark.parametrize("wild", [(), (2,), (0, 5), (1, 3, 4)])
@pytest.mark.parametrize("seed", range(4))
def test_wild_readings_are_found_among_good_ones(
    wild: tuple[int, ...], seed: int
) -> None:
    """One wherever it is; several where they don't share so much as to hide each other."""
    rng = np.random.default_rng(seed)
    count = 7
    shared, told = covariance(rng, count), rng.uniform(0, 1, count)
    shared *= 1.0 if len(wild) < 2 else 0.01
    table = shared + 1e-4 * np.eye(count)
    values = rng.multivariate_normal(told, table)
    values[list(wild)] += rng.choice([-1, 1], len(wild)) * rng.uniform(1, 2, len(wild))
    readings = [number(float(x)) for x in values]
    found = weighed(readings, told, shared)
    density, slips = enumerated(readings, told, shared)
    assert found.chance[0] == pytest.approx(density, abs=0.1)
    assert found.slips[0] == pytest.approx(slips, abs=0.1)
    assert {int(k) for k in np.flatnonzero(found.slips[0] > 0.5)} == set(wild)


@given(st.integers(0, 10_000), st.integers(1, 6), st.floats(0.0, 0.4))
def test_no_set_of_slips_is_counted_twice(seed: int, count: int, off: float) -> None:
    """The likeliest slips only are looked at: never more than all of them come to."""
    rng = np.random.default_rng(seed)
    shared, told = covariance(rng, count), rng.uniform(0, 1, count)
    readings = [number(float(x)) for x in told + rng.normal(0, off + 1e-3, count)]
    found = weighed(readings, told, shared)
    density, _ = enumerated(readings, told, shared)
    least, _ = enumerated(readings, told, shared, 1)
    assert least - 1e-6 <= found.chance[0] <= density + 1e-6
    assert ((found.slips >= 0) & (found.slips <= 1)).all()


@given(st.integers(0, 10_000), st.permutations(range(5)))
def test_the_order_of_readings_changes_nothing(seed: int, order: list[int]) -> None:
    rng = np.random.default_rng(seed)
    shared, told = covariance(rng, 5), rng.uniform(0, 1, 5)
    told[4] = inf
    readings = [number(float(x)) for x in told[:4] + rng.normal(0, 0.2, 4)]
    readings.append(open_above(2.0))
    one = weighed(readings, told, shared)
    turned = shared[np.ix_(order, order)]
    other = weighed([readings[k] for k in order], told[order], turned)
    assert other.chance == pytest.approx(one.chance, abs=1e-9)
    assert other.slips[0] == pytest.approx(one.slips[0][order], abs=1e-9)


def test_rows_are_weighed_each_by_itself() -> None:
    rng = np.random.default_rng(3)
    shared, told = covariance(rng, 4), rng.uniform(0, 1, (6, 4))
    readings = [number(float(x)) for x in told[2] + 0.01]
    every = weigh(readings, told, shared, still(told), SLIP)
    each = [weighed(readings, row, shared) for row in told]
    assert every.chance == pytest.approx([one.chance[0] for one in each])
    assert every.chance.argmax() == 2


def test_what_a_range_reads_too_high_it_reads_too_high_everywhere() -> None:
    """Two readings of one range, both 2 % up, are less odd than one up and one down."""
    told = np.zeros(2)
    one_range = [Seen(0.02, nan, 0, 0.002, STRAY, 0.02, "ohms 1")] * 2
    apart = [one_range[0], one_range[1]._replace(number=-0.02)]
    chance = [
        float(weighed(x, told, np.zeros((2, 2))).chance[0]) for x in (one_range, apart)
    ]
    assert chance[0] > chance[1] + 2
    assert gains(one_range) == pytest.approx(np.full((2, 2), 4e-4))
    other = [one_range[0], one_range[1]._replace(range="ohms 2")]
    assert gains(other) == pytest.approx(np.diag([4e-4, 4e-4]))


# OL and beeps.


@pytest.mark.parametrize("told", [0.4, 1.9, 1.99, 2.0, 2.02, 2.3])
@pytest.mark.parametrize("deviation", [0.005, 0.05, 0.3])
def test_what_lies_beyond_the_limit_is_OL(told: float, deviation: float) -> None:  # noqa: N802
    """The mass of the bell beyond the limit: scipy.special.ndtr."""
    reading = open_above(2.0, deviation)._replace(slipped=log(SLIPPED_OPEN))
    found = weighed([reading], np.array([told]), np.zeros((1, 1))).chance[0]
    mass = ndtr((told - 2.0) / deviation)
    expected = log((1 - SLIP) * mass + SLIP * SLIPPED_OPEN)
    assert found == pytest.approx(expected, abs=1e-4)


def test_a_beep_is_the_rest_of_silence() -> None:
    """What is under the threshold and what is above it come to one."""
    for told in (log(10.0), log(35.0), log(45.0), log(200.0)):
        both = [
            weighed(
                [Seen(nan, log(40.0), sounds, 0.3, log(0.5))],
                np.array([told]),
                np.zeros((1, 1)),
            ).chance[0]
            for sounds in (1, -1)
        ]
        assert np.exp(both).sum() == pytest.approx(1.0, abs=1e-3)
        assert (both[0] > both[1]) == (told < log(40.0))


def test_a_number_where_nothing_leads_across_is_a_slip() -> None:
    found = weighed([number(0.6)], np.array([inf]), np.zeros((1, 1)))
    assert found.chance[0] == pytest.approx(log(SLIP) + STRAY, abs=0.1)
    assert found.slips[0, 0] > 0.98


def test_a_reading_of_which_nothing_is_foretold_says_nothing() -> None:
    told = np.array([[nan, 0.5], [nan, 0.7]])
    readings = [number(0.6), number(0.5)]
    both = weigh(readings, told, np.zeros((2, 2)), still(told), SLIP).chance
    alone = weigh(
        [readings[1]], told[:, 1:], np.zeros((1, 1)), still(told[:, 1:]), SLIP
    )
    assert both[0] - both[1] == pytest.approx(alone.chance[0] - alone.chance[1])


@given(st.floats(-8, 8))
def test_the_tail_of_the_bell(x: float) -> None:
    """Abramowitz & Stegun 26.2.17: the error is under 7.5e-8; scipy.special.ndtr."""
    assert abs(float(normal_tail(np.array(x))) - ndtr(-x)) < 7.5e-8


# Readings as they are weighed.


def test_a_display_as_it_is_weighed() -> None:
    volts = seen(Reading("A", "B", Mode.DIODE, 0.612, 0.001), HANDHELD)
    ohms = seen(Reading("A", "B", Mode.OHMS, 22.0e3, 100.0), HANDHELD)
    assert volts.number == pytest.approx(0.612)
    assert ohms.number == pytest.approx(log(22e3))
    # 0.9 % + 3 digits of 10 ohm, limits of an even spread; read to 100 ohm.
    assert ohms.gain == pytest.approx(0.009 / sqrt(3))
    assert ohms.deviation == pytest.approx(sqrt(30**2 / 3 + 100**2 / 12) / 22e3)


def test_OL_and_a_lower_bound() -> None:  # noqa: N802
    full = HANDHELD.scales(Mode.OHMS)[-1].full
    over = seen(Reading("A", "B", Mode.OHMS, Shown.OPEN), HANDHELD)
    bound = seen(Reading("A", "B", Mode.OHMS, 20e6, 1e6, at_least=True), HANDHELD)
    assert over.over == pytest.approx(measure(full, Mode.OHMS))
    assert bound.over == pytest.approx(log(20e6))
    assert np.isnan([over.number, bound.number]).all()


# Readings share their parts.


def test_a_good_resistor_near_its_edge_is_good() -> None:
    """A healthy 10 k 5 % part at +4.9 %, read through six pairs.

    Readings taken as independent favour "drifted" by about e^12, taken together they
    favour healthy by e^3. The drift starts outside the tolerance, is spread evenly by
    equal ratios, and is integrated over. Computed for a meter of 0.4 %.
    """
    pairs, meter, part = 6, 0.004, log(1.05) / sqrt(3)
    readings = [number(log(1.049), meter)] * pairs
    ohms = np.geomspace(0.1, 10.0, 8001)
    drift = shares(ohms, [(Range(1.05, 10.0), 0.75), (Range(0.1, 0.95), 0.25)])
    assert drift[(ohms > 0.96) & (ohms < 1.045)].sum() == pytest.approx(0.0, abs=1e-9)
    told = np.repeat(np.log(ohms)[:, None], pairs, axis=1)
    one_by_one = np.zeros((pairs, pairs))
    drifted = weigh(readings, told, one_by_one, still(told), 1e-6).chance
    drifted_weight = float(logsumexp(drifted, b=drift))

    healthy = np.zeros((1, pairs))
    spread = part**2 * np.ones((pairs, pairs))
    joint = weigh(readings, healthy, spread, still(healthy), 1e-6).chance[0]
    independent = weigh(
        readings, healthy, part**2 * np.eye(pairs), still(healthy), 1e-6
    ).chance[0]
    assert drifted_weight - independent > 10
    assert joint - drifted_weight > 2
