"""A badge stands at the first free spot, its text beside it."""

from collections.abc import Iterator
from itertools import islice

import pytest

from tracegraph.draw.badging import Ground, corners, fitted, near, with_badge
from tracegraph.draw.cell import text_box
from tracegraph.draw.names import WIDEST
from tracegraph.draw.overlay import Mark, OnPart, Role
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Anchor, Box, Circle, Point, Stroke
from tracegraph.draw.symbols.badges import badge, badge_box

BODY = Box(10, 10, 14, 12)
MARK = Mark(OnPart("R1"), Role.SUSPECT, "42 %", rank=1, more="why")


def ground(*taken: Box) -> Ground:
    return Ground((), (), (), Room(taken))


def test_badges_of_two_marks_do_not_lie_on_each_other() -> None:
    sheet = ground(BODY)
    first = with_badge(sheet, MARK, corners(BODY), (), ())
    second = with_badge(sheet, MARK, corners(BODY), (), ())
    spots = [badge_box(_middle(one.over[0])) for one in (first, second)]
    assert not spots[0].meets(spots[1])
    assert not any(box.meets(BODY) for box in spots)


def _middle(shape: object) -> Point:
    assert isinstance(shape, Circle)
    return shape.centre


def test_the_text_is_beside_the_badge_and_its_rank_in_it() -> None:
    noted = with_badge(ground(BODY), MARK, corners(BODY), (), ())
    (text,) = noted.texts
    assert text.text == "42 %"
    assert not text_box(text).meets(badge_box(_middle(noted.over[0])))
    assert noted.over == badge(Role.SUSPECT, _middle(noted.over[0]), "1")
    assert (noted.title, noted.role, noted.target) == (
        "why",
        Role.SUSPECT,
        OnPart("R1"),
    )


def test_a_mark_without_long_words_is_titled_by_its_short_ones() -> None:
    assert (
        with_badge(ground(), MARK._replace(more=""), [(0, 0)], (), ()).title == "42 %"
    )


def test_a_badge_is_never_lost_even_where_all_is_taken() -> None:
    noted = with_badge(ground(Box(-99, -99, 99, 99)), MARK, [(3, 4), (5, 6)], (), ())
    assert _middle(noted.over[0]) == (3, 4)
    assert noted.texts == ()


def test_what_stood_there_before_stays_in_front_and_behind() -> None:
    line = Stroke(((0, 0), (1, 0)))
    noted = with_badge(ground(), MARK, [(9, 9)], (line,), (line,))
    assert noted.under == (line,)
    assert noted.over[0] == line
    assert len(noted.over) == 3


def test_no_corner_is_on_the_box_and_the_nearest_come_first() -> None:
    places = list(corners(BODY))
    assert not any(BODY.meets(Box(x, y, x, y).grown(0.01)) for x, y in places)
    away = [_away(at) for at in places]
    assert away[0] == min(away)
    assert away[-1] == max(away)


def _away(at: Point) -> float:
    x, y = at
    return max(BODY.left - x, x - BODY.right, BODY.top - y, y - BODY.bottom)


@pytest.mark.parametrize("places", [near([(5, 5)]), corners(Box(5, 5, 5, 5))])
def test_places_go_round(places: Iterator[Point]) -> None:
    found = set(islice(places, 4))
    assert {x < 5 for x, _ in found} | {y < 5 for _, y in found} == {True, False}


def test_a_long_text_is_cut_and_told_whole() -> None:
    long = Mark(
        OnPart("R1"), Role.NOTE, "somebody has bridged this one with a hair wire"
    )
    text = fitted(ground(), long, [((0, 0), Anchor.START)])
    assert text is not None
    assert text.full == long.text
    assert text_box(text).right <= WIDEST


def test_a_text_takes_its_room() -> None:
    sheet = ground()
    spot: tuple[Point, Anchor] = ((0, 0), Anchor.START)
    assert fitted(sheet, MARK, [spot]) is not None
    assert fitted(sheet, MARK, [spot]) is None
