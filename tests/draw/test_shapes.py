"""The eight poses are the symmetries of a square, and boxes go with them."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.draw.shapes import (
    Anchor,
    Arc,
    Box,
    Point,
    Pose,
    Side,
    Text,
    around,
    posed,
)

POSES = [Pose(turns, mirrored) for turns in range(4) for mirrored in (False, True)]
LENGTHS = st.integers(-9, 9)
POINTS = st.tuples(LENGTHS, LENGTHS)
ANY = st.sampled_from(POSES)
# Neither on an axis nor on a diagonal: every symmetry sends it elsewhere.
MARK: Point = (3, 1)


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    (left, top), sizes = draw(POINTS), st.integers(1, 9)
    return Box(left, top, left + draw(sizes), top + draw(sizes))


def test_no_two_poses_are_alike() -> None:
    assert len({pose.point(MARK) for pose in POSES}) == 8


@given(ANY, ANY, POINTS)
def test_one_pose_after_another_is_a_pose(one: Pose, two: Pose, at: Point) -> None:
    """In the dihedral group of order 8 a mirror turns the sense of what went before."""
    turns = two.turns + (-one.turns if two.mirrored else one.turns)
    both = Pose(turns % 4, one.mirrored is not two.mirrored)
    assert two.point(one.point(at)) == both.point(at)


@given(ANY, POINTS)
def test_a_pose_is_undone(pose: Pose, at: Point) -> None:
    """A mirrored pose is its own inverse, a plain one is turned back."""
    back = pose if pose.mirrored else Pose(-pose.turns % 4)
    assert back.point(pose.point(at)) == at


@pytest.mark.parametrize(("pose", "side"), list(product(POSES, Side)))
def test_a_side_turns_as_its_arrow_does(pose: Pose, side: Side) -> None:
    assert pose.side(side).step == pose.point(side.step)
    assert pose.side(side.opposite) is pose.side(side).opposite


@given(ANY, boxes(), POINTS)
def test_what_is_in_a_box_stays_in_it(pose: Pose, box: Box, at: Point) -> None:
    inside = box.left <= at[0] <= box.right and box.top <= at[1] <= box.bottom
    left, top, right, bottom = pose.box(box)
    x, y = pose.point(at)
    assert (left <= x <= right and top <= y <= bottom) is inside


@given(boxes(), boxes())
def test_boxes_meet_where_they_share_a_square(one: Box, other: Box) -> None:
    def squares(box: Box) -> set[tuple[int, int]]:
        left, top, right, bottom = map(int, box)
        return set(product(range(left, right), range(top, bottom)))

    assert one.meets(other) is bool(squares(one) & squares(other))


@given(st.lists(boxes(), min_size=1))
def test_the_least_box_around_boxes_touches_them_on_all_sides(many: list[Box]) -> None:
    whole = around(many)
    assert all(whole.left <= box.left and whole.right >= box.right for box in many)
    assert all(whole.top <= box.top and whole.bottom >= box.bottom for box in many)
    for edge in range(4):
        assert whole[edge] in {box[edge] for box in many}


def test_there_is_no_box_around_nothing() -> None:
    with pytest.raises(ValueError, match="not enough values"):
        around(())


def test_an_arc_bulges_the_other_way_in_a_mirror() -> None:
    arc = Arc((0, 0), (2, 0), 1.0)
    mirrored = posed(arc, Pose(0, mirrored=True))
    assert mirrored == Arc((0, 0), (-2, 0), 1.0, clockwise=False)
    assert posed(arc, Pose(2)) == Arc((0, 0), (-2, 0), 1.0)


def test_a_text_stays_on_its_own_side() -> None:
    text = Text((1, 0), "G")
    assert posed(text, Pose(2)) == Text((-1, 0), "G", anchor=Anchor.END)
    assert posed(text, Pose(1)) == Text((0, 1), "G")
