"""Free room is what a look at every taken box would call free."""

from hypothesis import given
from hypothesis import strategies as st

from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Box

PLACES = st.floats(-30, 30).map(lambda value: round(value, 1))
SIZES = st.floats(0, 25).map(lambda value: round(value, 1))
LIMITS = Box(-20, -20, 20, 20)


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    left, top = draw(PLACES), draw(PLACES)
    return Box(left, top, left + draw(SIZES), top + draw(SIZES))


@given(st.lists(boxes(), max_size=8), boxes())
def test_free_is_what_no_taken_box_meets(taken: list[Box], box: Box) -> None:
    assert Room(taken).free(box) is not any(one.meets(box) for one in taken)


@given(boxes())
def test_nothing_leaves_the_limits(box: Box) -> None:
    inside = box.left >= -20 and box.top >= -20 and box.right <= 20 and box.bottom <= 20
    assert Room((), LIMITS).free(box) is inside


def test_what_is_taken_later_counts_too() -> None:
    room, box = Room(), Box(7.5, 7.5, 8.5, 8.5)  # over four squares of the index
    assert room.free(box)
    room.take(Box(8.2, 8.2, 30, 30))
    assert not room.free(box)


def test_boxes_that_only_touch_leave_each_other_free() -> None:
    assert Room([Box(0, 0, 8, 8)]).free(Box(8, 0, 16, 8))
