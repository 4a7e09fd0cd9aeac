"""Healthy boards: what is shared, what is not, and how wide a sum of spreads is."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.network.circuits import circuit, pair
from tests.sections import resistor
from tracegraph.network.adjoint import sensitivities
from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.network.spread import quantile, spread_of
from tracegraph.quantity import Quantity, exact, usual
from tracegraph.stage.branch import Conductor, Junction

DRAWS = 200_000
CLOSE = 0.01


def diode(family: str = "silicon", drop: Quantity | None = None) -> Junction:
    """Return a diode of 0.55 to 0.70 V at 1 mA, 60 to 100 mV a decade."""
    drop = drop or usual(0.60, 0.55, 0.70, "V", at=1e-3)
    slope = usual(0.08, 0.06, 0.10, "V/dec")
    return Junction("a", "k", drop, slope, exact(0.0, "A"), family=family)


def loose(ohms: float, fraction: float) -> Conductor:
    """Return a resistor with a tolerance."""
    return Conductor("1", "2", exact(ohms, "ohm").within(fraction))


def one(net: Circuit, name: str, at: float) -> Floats:
    """Return the values of a board with one variable moved."""
    spread = spread_of(net)
    draws = np.zeros((1, len(spread.names)))
    draws[0, spread.names.index(name)] = at
    return np.asarray(spread.values(draws)[0])


def test_a_resistor_runs_between_its_limits() -> None:
    net = circuit((loose(1e3, 0.05), "A B"), (resistor(10.0), "A B"))
    spread = spread_of(net)
    assert spread.names == ("X0 ohms 0",)
    assert not spread.shared.any()
    ends = spread.values(np.array([[-1.0], [0.0], [0.5], [1.0]]))[:, 0]
    assert ends == pytest.approx([950, 1000, 1025, 1050])


def test_a_wide_interval_goes_by_equal_ratios() -> None:
    net = circuit((Conductor("1", "2", usual(200, 100, 800, "ohm")), "A B"))
    seen = spread_of(net).values(np.array([[-1.0], [-0.5], [0.5], [1.0]]))[:, 0]
    assert seen == pytest.approx([100, 100 * sqrt(2), 400, 800])
    below, above = spread_of(net).slopes()
    assert below[0, 0] == pytest.approx(200 * np.log(2))
    assert above[0, 0] == pytest.approx(200 * np.log(4))


def test_junctions_share_the_room_and_their_type() -> None:
    net = circuit((diode(), "A B"), (diode(), "B C"), (diode("schottky"), "C D"))
    spread = spread_of(net)
    shared = [
        name
        for name, all_have in zip(spread.names, spread.shared, strict=True)
        if all_have
    ]
    assert shared == [
        "type silicon drop",
        "ambient",
        "type schottky drop",
        "type silicon slope",
        "type schottky slope",
    ]
    drops = net.columns["Junction.drop"]
    assert one(net, "ambient", 1.0)[drops] == pytest.approx([0.58, 0.58, 0.58])
    assert one(net, "type silicon drop", 1.0)[drops] == pytest.approx([0.7, 0.7, 0.6])
    assert one(net, "type silicon drop", -1.0)[drops] == pytest.approx(
        [0.55, 0.55, 0.6]
    )
    assert one(net, "X1 drop 1", 1.0)[drops] == pytest.approx([0.6, 0.615, 0.6])


def test_a_junction_seen_on_this_board_does_not_move() -> None:
    seen = Quantity(0.45, 0.45, 0.45, "V", at=1e-3)
    net = circuit((diode("rest", seen), "A B"))
    assert spread_of(net).names == ("type rest slope",)


def test_a_board_without_tolerances_is_the_typical_one() -> None:
    net = circuit((resistor(1e3), "A B"))
    spread = spread_of(net)
    draws = spread.draw(np.random.default_rng(1), 5)
    assert draws.shape == (5, 0)
    assert spread.values(draws).tolist() == [[1e3]] * 5
    low, high = quantile(np.zeros((2, 3, 0)))
    assert low.tolist() == high.tolist() == [0, 0, 0]


@given(st.floats(-1, 1), st.floats(0.1, 10), st.floats(1.0, 40), st.floats(0, 1))
def test_a_healthy_value_never_leaves_its_interval(
    at: float, low: float, ratio: float, share: float
) -> None:
    high = low * ratio
    typical = min(low + share * (high - low), high)
    net = circuit((Conductor("1", "2", usual(typical, low, high, "ohm")), "A B"))
    spread = spread_of(net)
    seen = spread.values(np.full((1, len(spread.names)), at))[0, 0]
    assert low * (1 - 1e-9) <= seen <= high * (1 + 1e-9)


def drawn(below: Floats, above: Floats, share: float) -> Floats:
    """Return the quantiles of a big sample of sums."""
    rng = np.random.default_rng(7)
    total = np.zeros(DRAWS)
    for down, up in zip(below, above, strict=True):
        draws = rng.uniform(-1, 1, DRAWS)
        total += draws * np.where(draws < 0, down, up)
    return np.quantile(total, [(1 - share) / 2, (1 + share) / 2])


ONES = np.ones(1)
CASES = {
    "one alone": (ONES, ONES),
    "one that only rises": (0 * ONES, ONES),
    "one that leads": (np.array([1, 0.1, 0.1, 0.1]), np.array([1, 0.1, 0.1, 0.1])),
    "three equal": (np.ones(3), np.ones(3)),
    "24 equal": (np.ones(24), np.ones(24)),
    "200 equal": (np.ones(200), np.ones(200)),
    "signs mixed": (np.linspace(-1, 1, 30), np.linspace(-1, 1, 30)),
    "lopsided": (np.linspace(0.2, 1, 8), np.linspace(2, 1, 8)),
    "fading": (0.8 ** np.arange(40), 0.8 ** np.arange(40)),
    "a bend": (np.array([-0.3, 0.5]), np.array([1.0, 0.5])),
}


@pytest.mark.parametrize("share", [0.997, 0.95])
@pytest.mark.parametrize("case", CASES)
def test_quantiles_of_a_sum_against_a_big_sample(case: str, share: float) -> None:
    """Within 1 % of the window's width, the sample's own scatter included."""
    below, above = CASES[case]
    low, high = quantile(np.stack([below, above])[:, None, :], share)
    seen = drawn(below, above, share)
    width = seen[1] - seen[0]
    assert [low[0], high[0]] == pytest.approx(seen, abs=CLOSE * width)


def test_one_alone_is_flat_and_many_are_a_bell() -> None:
    low, high = quantile(np.ones((1, 1)))
    assert [low[0], high[0]] == pytest.approx([-0.997, 0.997], abs=2e-3)
    _, high = quantile(np.ones((1, 400)))
    assert high[0] == pytest.approx(2.968 * sqrt(400 / 3), rel=5e-3)


def test_the_window_of_a_divider_holds_as_many_boards_as_it_says() -> None:
    """Ten thousand boards, seed fixed: at least 99.5 %, and not 1.3 times too wide."""
    net = circuit(
        *((loose(1e3, 0.05), nets) for nets in ("A M", "M B", "A N", "N B", "M N")),
        (diode(), "A B"),
    )
    drive = Drive(1e-3, np.inf, 3.2)
    spread = spread_of(net)
    pairs = pair(net, "A", "B")
    solution, nodes = solve_items(net, pairs, drive)
    by_value = sensitivities(net, pairs, drive, solution, nodes)
    low, high = quantile(np.stack([by_value @ side for side in spread.slopes()]))
    values = spread.values(spread.draw(np.random.default_rng(11), 10_000))
    boards, _ = solve_items(net, np.repeat(pairs, 10_000, axis=0), drive, values)
    off = boards.volts - solution.volts
    assert ((low <= off) & (off <= high)).mean() > 0.995
    assert high - low < 1.3 * np.subtract(*np.quantile(off, [0.9985, 0.0015]))


def test_readings_do_not_wait_for_each_other() -> None:
    """A thousand at once are as good as one."""
    slopes = np.random.default_rng(3).normal(size=(2, 600, 20))
    low, high = quantile(slopes)
    alone = quantile(slopes[:, 555:556])
    assert (low[555], high[555]) == pytest.approx((alone[0][0], alone[1][0]))
