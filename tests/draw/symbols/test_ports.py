"""Small symbols at the ends of wires: every one in all four directions."""

from collections.abc import Callable
from itertools import combinations, pairwise

import pytest

from tests.draw.extent import shape_box, text_box
from tracegraph.draw.shapes import Box, Point, Shape, Side, Stroke
from tracegraph.draw.symbols.ports import (
    LONGEST,
    PortSymbol,
    flag,
    ground,
    rail,
    stub,
    unplugged,
)
from tracegraph.draw.text import width

Maker = Callable[[Point, Side], PortSymbol]


def _ground(index: int) -> Maker:
    return lambda at, side: ground(at, side, index, "HOT", named=True)


MAKERS: dict[str, Maker] = {
    "rail": lambda at, side: rail(at, side, "+15V"),
    "flag in": lambda at, side: flag(at, side, "PWM", points_in=True),
    "flag out": lambda at, side: flag(at, side, "MOTOR-", points_in=False),
    "stub": stub,
    "unplugged": unplugged,
    **{f"ground {index}": _ground(index) for index in range(5)},
}
EVERY = pytest.mark.parametrize("maker", MAKERS.values(), ids=MAKERS)
SIDES = pytest.mark.parametrize("side", Side)
PEN = 0.2


def meets_at(shape: Shape, at: Point) -> bool:
    """Return whether a stroke touches a point: in a corner or between two."""
    if not isinstance(shape, Stroke):
        return False
    points = (*shape.points, shape.points[0]) if shape.closed else shape.points
    return any(
        Box(*map(min, a, b), *map(max, a, b))
        .grown(0.01)
        .meets(Box(*at, *at).grown(0.01))
        for a, b in pairwise(points)
        if a[0] == b[0] or a[1] == b[1] or at in {a, b}
    )


@EVERY
@SIDES
def test_it_meets_the_wire_where_it_should(maker: Maker, side: Side) -> None:
    port = maker((3, -2), side)
    assert any(meets_at(shape, (3, -2)) for shape in port.shapes)


@EVERY
@SIDES
def test_it_goes_its_own_way_and_never_back(maker: Maker, side: Side) -> None:
    port = maker((0, 0), side)
    dx, dy = side.step
    back = Box(-dx, -dy, -dx, -dy).grown(0.75)
    for shape in (*port.shapes, *port.texts):
        assert not shape_box(shape).meets(back)


@EVERY
@SIDES
def test_its_box_holds_all_of_it(maker: Maker, side: Side) -> None:
    port = maker((5, 5), side)
    box = port.box.grown(PEN)
    for shape in (*port.shapes, *port.texts):
        left, top, right, bottom = shape_box(shape)
        assert left >= box.left
        assert top >= box.top
        assert right <= box.right
        assert bottom <= box.bottom


@SIDES
def test_no_two_ports_look_the_same(side: Side) -> None:
    shapes = [maker((0, 0), side).shapes for maker in MAKERS.values()]
    fourth, fifth = (ground((0, 0), side, index) for index in (3, 4))
    assert fourth.texts != fifth.texts
    shapes.remove(fifth.shapes)  # told from the fourth by its number
    shapes.remove(fourth.shapes)  # as the second, with a number
    assert all(one != two for one, two in combinations(shapes, 2))


@SIDES
def test_a_name_does_not_touch_its_symbol(side: Side) -> None:
    for port in (rail((0, 0), side, "+15V"), ground((0, 0), side, 1, "G", named=True)):
        (name,) = port.texts
        assert not any(text_box(name).meets(shape_box(shape)) for shape in port.shapes)


@SIDES
def test_a_flag_holds_its_name(side: Side) -> None:
    for points_in in (False, True):
        port = flag((0, 0), side, "W" * 300, points_in=points_in)
        (name,) = port.texts
        outline = shape_box(port.shapes[-1])
        inner = text_box(name)
        assert width(name.text, name.size, bold=True) <= LONGEST
        assert name.full == "W" * 300
        assert outline.left < inner.left
        assert inner.right < outline.right
        assert outline.top < inner.top
        assert inner.bottom < outline.bottom


def test_a_grounds_name_is_written_only_where_asked() -> None:
    assert ground((0, 0), Side.DOWN, 0, "COM").texts == ()
    (name,) = ground((0, 0), Side.DOWN, 0, "COM", named=True).texts
    assert name.text == "COM"
