"""Crossings and bends are counted as a reader counts them."""

from tests.draw.plain_sheet import plain_drawing
from tests.draw.score import Score, bends, crossings, score
from tracegraph.draw.drawing import Wire


def test_the_plain_drawing_has_neither() -> None:
    assert score(plain_drawing()) == Score(3, 1, 0, 0, 11, 22 * 22)


def test_a_corner_is_a_bend_and_a_dotted_one_is_not() -> None:
    corner = (((0, 0), (5, 0)), ((5, 0), (5, 5)))
    assert bends(Wire("A", corner, ())) == 1
    assert bends(Wire("A", corner, ((5, 0),))) == 0
    assert bends(Wire("A", (((0, 0), (5, 0)), ((5, 0), (9, 0))), ())) == 0


def test_only_what_runs_through_crosses() -> None:
    level = Wire("A", (((0, 5), (10, 5)),), ())
    through = Wire("B", (((5, 0), (5, 10)),), ())
    beside = Wire("C", (((5, 0), (5, 5)),), ())
    assert crossings([level, through]) == 1
    assert crossings([level, beside]) == 0
    assert crossings([level._replace(dots=((5, 5),)), through]) == 0
