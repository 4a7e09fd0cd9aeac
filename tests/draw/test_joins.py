"""A join leads from copper to copper and keeps clear of bodies."""

from itertools import combinations, pairwise

import pytest

from tests.draw.plain_sheet import plain_drawing
from tests.draw.written import example_drawing
from tracegraph.draw.badging import Ground
from tracegraph.draw.cell import moved_part, text_box
from tracegraph.draw.copper import edges_of, points_of
from tracegraph.draw.drawing import Sheet, Wire
from tracegraph.draw.joins import Track, joined, tracks
from tracegraph.draw.layout import TITLE
from tracegraph.draw.overlay import Join, Role
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Box, Point
from tracegraph.draw.symbols.badges import strap

(PLAIN,) = plain_drawing().sheets
(TREADMILL,) = example_drawing("treadmill-gate-drive").sheets


def ground(sheet: Sheet = PLAIN) -> Ground:
    return Ground(sheet.parts, sheet.wires, sheet.labels, Room(), sheet.ports)


def track(a: str, b: str, sheet: Sheet = PLAIN) -> Track | None:
    (found,) = tracks(ground(sheet), [Join(a, b)])
    return found


def over(box: Box, one: Point, other: Point) -> bool:
    """Return whether a level or upright piece runs through a box."""
    left, right = sorted((one[0], other[0]))
    top, bottom = sorted((one[1], other[1]))
    return (
        left < box.right and right > box.left and top < box.bottom and bottom > box.top
    )


def test_a_join_around_a_part_runs_beside_its_body() -> None:
    found = track("P12", "COM")
    assert found is not None
    assert {found[0], found[-1]} == {(6, 6), (6, 17)}
    assert len(found) == 4
    assert {x for x, _ in found[1:-1]} == {6 - 1.6}  # names stand on the right


NETS = ("NB", "PULL", "PB", "DRV", "GD", "GATE", "SRC", "MOT-")


@pytest.mark.parametrize(("a", "b"), list(combinations(NETS, 2)))
def test_a_join_keeps_clear_of_bodies_and_texts(a: str, b: str) -> None:
    found = track(a, b, TREADMILL)
    assert found is not None
    boxes = [one.body for one in TREADMILL.parts]
    boxes += [text_box(text) for one in TREADMILL.parts for text in one.texts]
    for piece in pairwise(found):
        assert piece[0][0] == piece[1][0] or piece[0][1] == piece[1][1]
        assert not any(over(box, *piece) for box in boxes)
    for net, end in ((a, found[0]), (b, found[-1])):
        assert end in points_of(TREADMILL.parts, TREADMILL.wires, net)


def test_a_net_that_is_not_on_the_sheet_has_no_join() -> None:
    assert track("P12", "ELSE") is None
    assert list(joined(ground(), [Join("P12", "ELSE")], [None], 0)) == []


def test_a_join_takes_its_room() -> None:
    sheet = ground()
    tracks(sheet, [Join("P12", "COM")])
    assert not sheet.room.free(Box(4.3, 11, 4.5, 12))


def test_a_join_tells_its_two_nets_where_nothing_else_is_told() -> None:
    way: Track = ((0, 0), (0, 4))
    joins = [Join("A", "B"), Join("A", "C", Role.DIFFERS, "0.4 Ω", "measured")]
    first, second = joined(ground(), joins, [way, way], 2)
    assert [text.text for text in first.texts] == ["A – B"]
    assert [text.text for text in second.texts] == ["0.4 Ω"]
    assert (second.role, second.title, second.layer) == (Role.DIFFERS, "measured", 2)
    assert first.target is None
    for shape in strap(way, Role.BRIDGED):
        assert shape in first.over


def test_two_joins_may_cross_but_never_run_on_each_other() -> None:
    joins = [Join("NB", "GATE"), Join("PULL", "SRC"), Join("PB", "GD")]
    found = tracks(ground(TREADMILL), joins)
    steps = [_steps(one) for one in found if one]
    assert len(steps) == 3
    for one, other in combinations(steps, 2):
        assert not one & other


def _steps(way: Track) -> set[tuple[Point, Point]]:
    """Return the unit steps of a join on the grid."""
    wires = Wire("", tuple((min(piece), max(piece)) for piece in pairwise(way)), ())
    return set(edges_of(wires))


def test_no_join_runs_through_the_title() -> None:
    """Over the tall part there is no way but where the title stands."""
    one, other, tall = PLAIN.parts
    tall = tall._replace(body=Box(10, TITLE + 1, 14, 60), legs=(), texts=())
    sheet = Ground((one, moved_part(other, (14, -7)), tall), (), (), Room())
    (found,) = tracks(sheet, [Join("P12", "COM")])
    assert found is not None
    assert min(y for _, y in found) > TITLE
    assert max(y for _, y in found) > 60
