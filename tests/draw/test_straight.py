"""Shifts make wires straight, and never make anything worse."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from tracegraph.draw.shapes import Box
from tracegraph.draw.straight import BENT, Tie, shifts

ABOVE, BELOW = Box(0, 0, 10, 4), Box(0, 6, 10, 10)
ASIDE = Box(20, 0, 30, 4)


def cost(ties: list[Tie], by: list[int]) -> float:
    """Return what all wires cost: half a unit of jog, and the two bends of one."""
    jogs = [(tie.weight, abs(tie.jog + by[tie.one] - by[tie.other])) for tie in ties]
    return sum(weight * (jog / 2 + BENT * bool(jog)) for weight, jog in jogs)


@st.composite
def columns(draw: st.DrawFn) -> list[Box]:
    """Return boxes in columns, none over another."""
    found = []
    for column in range(draw(st.integers(1, 3))):
        y = draw(st.integers(0, 5))
        for _ in range(draw(st.integers(1, 4))):
            high = draw(st.integers(2, 6))
            found.append(Box(column * 10, y, column * 10 + 8, y + high))
            y += high + draw(st.integers(0, 4))
    return found


@st.composite
def tied(draw: st.DrawFn) -> tuple[list[Box], list[Tie]]:
    frames = draw(columns())
    ends = st.integers(0, len(frames) - 1)
    weights = st.sampled_from((1.0, 2.0, 8.0))
    ties = st.builds(Tie, ends, ends, st.integers(-6, 6), weights)
    return frames, draw(st.lists(ties.filter(lambda one: one.one != one.other)))


@given(tied())
def test_no_cell_comes_to_lie_on_another(case: tuple[list[Box], list[Tie]]) -> None:
    frames = case[0]
    moved = [box.moved((0, by)) for box, by in zip(frames, shifts(*case), strict=True)]
    assert not any(one.meets(other) for one, other in combinations(moved, 2))


@given(tied())
def test_all_wires_together_never_cost_more(
    case: tuple[list[Box], list[Tie]],
) -> None:
    frames, ties = case
    assert cost(ties, shifts(*case)) <= cost(ties, [0] * len(frames)) + 1e-9


def test_a_wire_between_two_cells_becomes_straight() -> None:
    one, other = shifts([ABOVE, ASIDE], [Tie(0, 1, 3, 1.0)])
    assert 3 + one - other == 0


def test_a_cell_with_a_neighbour_in_the_way_lets_the_other_side_move() -> None:
    frames = [ASIDE, ABOVE, BELOW, BELOW.moved((0, 6))]
    by = shifts(frames, [Tie(1, 0, -5, 8.0), Tie(2, 3, 0, 8.0)])
    assert by[1] - by[0] == 5


def test_the_heavier_of_two_wires_wins() -> None:
    by = shifts([ABOVE, ASIDE], [Tie(0, 1, 2, 1.0), Tie(0, 1, -2, 8.0)])
    assert by[1] - by[0] == -2


def test_what_would_cost_more_on_the_whole_is_left_bent() -> None:
    by = shifts([ABOVE, ASIDE], [Tie(0, 1, -2, 8.1), Tie(0, 1, 2, 8.0)])
    assert by[1] - by[0] == -2


def test_what_is_straight_stays_where_it_is() -> None:
    assert shifts([ABOVE, ASIDE], [Tie(0, 1, 0, 1.0)]) == [0, 0]
