"""Best-first search against looking at every set."""

from collections.abc import Callable
from itertools import chain, combinations
from math import inf, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.diagnose.best_first import Explanation, Limits, best_first, posterior

Faults = frozenset[int]
NOISE = -9.0  # logarithm of a reading that is left unexplained


class Board:
    """A made-up board: how well every set explains it, and who asked."""

    def __init__(self, priors: dict[int, float], fits: dict[Faults, float]) -> None:
        self.priors, self.fits = priors, fits
        self.asked: list[Faults] = []

    def explained(self, faults: Faults) -> float:
        self.asked.append(faults)
        return self.fits[faults]

    def bound(self, faults: Faults) -> float:
        return max(fit for one, fit in self.fits.items() if faults <= one)

    def weight(self, faults: Faults) -> float:
        chances = [log(p if one in faults else 1 - p) for one, p in self.priors.items()]
        return sum(chances) + self.fits[faults]

    def ranked(self, limits: Limits) -> list[float]:
        weights = [self.weight(one) for one in self.fits if len(one) <= limits.most]
        cut = max(weights) + log(limits.share)
        return sorted((w for w in weights if w >= cut and w > -inf), reverse=True)


@st.composite
def boards(draw: st.DrawFn) -> Board:
    number = draw(st.integers(1, 5))
    chance = st.floats(1e-4, 0.8)
    priors = {one: draw(chance) for one in range(number)}
    sizes = (combinations(range(number), k) for k in range(number + 1))
    fit = st.one_of(st.just(-inf), st.floats(-30.0, 0.0))
    return Board(priors, {frozenset(s): draw(fit) for s in chain.from_iterable(sizes)})


limited = st.builds(
    Limits,
    share=st.sampled_from([1e-12, 1e-3, 0.3719]),  # no round share: no set is on it
    budget=st.just(1000),
    most=st.integers(0, 5),
)


@given(boards(), limited, st.booleans())
def test_sets_come_in_the_order_of_brute_force(
    board: Board, limits: Limits, tight: bool
) -> None:
    bound = board.bound if tight else lambda _faults: 0.0
    found = list(best_first(board.priors, board.explained, bound, limits=limits))
    weights = [one.weight for one in found]
    assert weights == pytest.approx(board.ranked(limits), abs=1e-9)
    assert weights == pytest.approx([board.weight(one.faults) for one in found])
    assert all(one.sure for one in found)
    assert len({one.faults for one in found}) == len(found)
    assert len(set(board.asked)) == len(board.asked)


@given(boards(), st.integers(0, 12))
def test_a_budget_is_kept_and_what_is_sure_is_so(board: Board, budget: int) -> None:
    limits = Limits(share=1e-12, budget=budget, most=5)
    found = list(best_first(board.priors, board.explained, board.bound, limits=limits))
    assert len(board.asked) <= budget
    weights = [one.weight for one in found]
    assert weights == sorted(weights, reverse=True)
    every = board.ranked(limits._replace(share=1e-300))
    for place, one in enumerate(found):
        if one.sure:
            assert one.weight == pytest.approx(every[place], abs=1e-9)


def test_nothing_more_is_looked_at_than_asked_for() -> None:
    fits = {frozenset[int](): -50.0, frozenset({0}): 0.0, frozenset({1}): -40.0}
    board = Board({0: 0.01, 1: 0.01}, {**fits, frozenset({0, 1}): 0.0})
    first = next(best_first(board.priors, board.explained, lambda _faults: 0.0))
    assert first.faults == {0}
    assert first.sure
    assert frozenset({0, 1}) not in board.asked


SYMPTOMS = {one: {one % 10} for one in range(40)}
TRUE = frozenset({13, 28})


def _told(faults: Faults) -> set[int]:
    """Return the odd readings that a set explains: two are odd, no. 3 and no. 8."""
    return {reading for one in faults for reading in SYMPTOMS[one]}


def _explained(faults: Faults) -> float:
    odd = {3, 8}
    wrong = len(odd ^ _told(faults))
    return NOISE * wrong - 3.0 * len(faults - TRUE)


def _bound(faults: Faults) -> float:
    return NOISE * len(_told(faults) - {3, 8}) - 3.0 * len(faults - TRUE)


def _related(faults: Faults) -> list[int]:
    left = {3, 8} - _told(faults)
    return [one for one in SYMPTOMS if SYMPTOMS[one] & left]


@pytest.mark.parametrize("related", [None, _related])
def test_two_faults_among_forty_need_few_looks(
    related: Callable[[Faults], list[int]] | None,
) -> None:
    """There are 820 sets of one or two faults."""
    looks = 0

    def counted(faults: Faults) -> float:
        nonlocal looks
        looks += 1
        return _explained(faults)

    priors = dict.fromkeys(SYMPTOMS, 0.01)
    found = best_first(priors, counted, _bound, related, Limits(most=2))
    assert next(found).faults == TRUE
    assert looks < 60


def test_the_faults_that_explain_most_are_built_upon_first() -> None:
    order: list[Faults] = []

    def noted(faults: Faults) -> float:
        order.append(faults)
        return _explained(faults)

    priors = dict.fromkeys(SYMPTOMS, 0.01)
    list(best_first(priors, noted, lambda _faults: 0.0, limits=Limits(budget=60)))
    pairs = [one for one in order if len(one) == 2]
    assert len(pairs) > 10
    assert all(_told(one) & {3, 8} for one in pairs)


def test_a_fault_is_added_only_where_it_is_allowed() -> None:
    board = Board(
        {0: 0.1, 1: 0.1}, {frozenset(s): -1.0 for s in ((), (0,), (1,), (0, 1))}
    )
    way = {frozenset[int](): [0], frozenset({0}): [0]}
    found = best_first(
        board.priors, board.explained, lambda _faults: 0.0, way.__getitem__
    )
    assert [one.faults for one in found] == [frozenset(), frozenset({0})]


def test_shares_of_what_was_found_add_up() -> None:
    found = [
        Explanation(frozenset({k}), log(p), -700.0, sure=True)
        for k, p in enumerate((0.3, 0.1))
    ]
    assert posterior(found) == pytest.approx((0.75, 0.25))
    assert posterior([]) == ()


@pytest.mark.parametrize("prior", [0.0, 1.0, -0.1, float("nan")])
def test_a_prior_lies_between_zero_and_one(prior: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        list(best_first({0: prior}, lambda _f: 0.0, lambda _f: 0.0))
