"""Crossings and bends are counted as a reader counts them."""

from hypothesis import given
from hypothesis import strategies as st

from tests.draw.plain_sheet import plain_drawing
from tests.draw.score import Score, bends, crossings, score
from tracegraph.draw import score as layout_score
from tracegraph.draw.drawing import Wire
from tracegraph.draw.shapes import Point
from tracegraph.draw.wires import wire_of


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


PLACES = st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(1, 6))


@given(st.lists(PLACES, max_size=6), st.lists(PLACES, max_size=6))
def test_the_layouts_own_score_counts_every_crossing(
    flat: list[tuple[int, int, int]], steep: list[tuple[int, int, int]]
) -> None:
    """By brute force: points inside a level wire that are inside an upright one too."""
    wires = [
        Wire(f"L{k}", (((x, y), (x + n, y)),), ()) for k, (x, y, n) in enumerate(flat)
    ]
    wires += [
        Wire(f"U{k}", (((x, y), (x, y + n)),), ()) for k, (x, y, n) in enumerate(steep)
    ]
    level = [{(x + k, y) for k in range(1, n)} for x, y, n in flat]
    upright = [{(x, y + k) for k in range(1, n)} for x, y, n in steep]
    found = layout_score.score(wires, (10, 20))
    assert found.crossings == sum(len(a & b) for a in level for b in upright)
    assert found.length == sum(n for _, _, n in (*flat, *steep))
    assert (found.bends, found.area) == (0, 200)


@given(st.sets(st.tuples(st.integers(0, 4), st.integers(0, 4), st.booleans())))
def test_it_counts_every_bend(edges: set[tuple[int, int, bool]]) -> None:
    """By brute force: two arms at a point, one level and one upright."""
    pieces = {((x, y), (x + flat, y + (not flat))) for x, y, flat in edges}
    arms: dict[Point, list[bool]] = {}
    for one, two in pieces:
        for at in (one, two):
            arms.setdefault(at, []).append(one[1] == two[1])
    corners = sum(sorted(found) == [False, True] for found in arms.values())
    assert layout_score.score([wire_of("A", pieces, ())], (0, 0)).bends == corners


def test_a_crossing_is_worth_six_bends() -> None:
    none = layout_score.Score(0, 0, 0, 0)
    assert none.worth == 0
    assert none._replace(crossings=1).worth == none._replace(bends=6).worth
    assert none._replace(length=10).worth == none._replace(area=250).worth == 1


def test_a_corner_at_a_pin_is_no_bend() -> None:
    corner = {((0, 0), (1, 0)), ((1, 0), (1, 1))}
    plain, pinned = wire_of("A", corner, ()), wire_of("A", corner, [(1, 0)])
    assert layout_score.score([plain], (0, 0)).bends == 1
    assert layout_score.score([pinned], (0, 0)).bends == 0
