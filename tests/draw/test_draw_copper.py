"""Questions to the copper on a sheet, held against networkx and against plain looking."""

from itertools import product

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from tests.draw.plain_sheet import plain_drawing
from tests.draw.written import example_drawing
from tracegraph.draw.copper import edges_of, nearest_pairs, points_of, run_between
from tracegraph.draw.drawing import Wire
from tracegraph.draw.shapes import Grid, Point
from tracegraph.draw.wires import Edge, pieces_of, wire_of

(PLAIN,) = plain_drawing().sheets
PLACES = st.tuples(st.integers(0, 2), st.integers(0, 2))  # small, so that rings close


def _edge(at: Grid, flat: bool) -> Edge:
    x, y = at
    return (at, (x + 1, y) if flat else (x, y + 1))


EDGES = st.sets(st.builds(_edge, PLACES, st.booleans()), min_size=1)


@given(EDGES, st.data())
def test_the_run_between_two_points_is_a_shortest(
    edges: set[Edge], data: st.DataObject
) -> None:
    graph = nx.Graph(sorted(edges))
    start, goal = (data.draw(st.sampled_from(sorted(graph))) for _ in range(2))
    run = run_between([wire_of("A", edges, ())], "A", start, goal)
    if not nx.has_path(graph, start, goal):
        assert run == ()
        return
    found = list(edges_of(Wire("A", run, ())))
    assert set(found) <= edges
    assert len(found) == nx.shortest_path_length(graph, start, goal)
    assert not found or nx.has_path(nx.Graph(found), start, goal)
    assert run == tuple(pieces_of(found))


def test_there_is_no_run_along_another_net() -> None:
    wire = Wire("B", (((0, 0), (4, 0)),), ())
    assert run_between([wire], "A", (0, 0), (4, 0)) == ()


def test_a_net_is_where_its_wires_and_its_pins_are() -> None:
    mid = set(points_of(PLAIN.parts, PLAIN.wires, "MID"))
    assert mid == {(6, y) for y in range(10, 14)} | {(x, 12) for x in range(6, 15)}
    assert points_of(PLAIN.parts, PLAIN.wires, "P12") == [(6, 6)]
    assert points_of(PLAIN.parts, PLAIN.wires, "ELSE") == []


def far(pair: tuple[Point, Point]) -> float:
    (x, y), (u, v) = pair
    return abs(x - u) + abs(y - v)


def test_the_nearest_pair_of_two_nets_comes_first() -> None:
    (sheet,) = example_drawing("treadmill-gate-drive").sheets
    ones = points_of(sheet.parts, sheet.wires, "NB")
    others = points_of(sheet.parts, sheet.wires, "GATE")
    pairs = nearest_pairs(sheet.parts, sheet.wires, "NB", "GATE")
    assert far(pairs[0]) == min(map(far, product(ones, others)))
    assert list(map(far, pairs)) == sorted(map(far, pairs))


def test_nothing_is_joined_at_a_missing_part() -> None:
    ghosts = [one._replace(status="ghost") for one in PLAIN.parts]
    assert nearest_pairs(ghosts, PLAIN.wires, "P12", "COM") == []
    faint = [wire._replace(ghost=True) for wire in PLAIN.wires]
    pairs = nearest_pairs(PLAIN.parts, faint, "P12", "MID")
    assert {other for _, other in pairs} == {(6, 10), (6, 13), (14, 12)}


def test_a_run_takes_the_shorter_way_round_a_ring() -> None:
    ring = {((x, y), (x + 1, y)) for x in (0, 1) for y in (0, 1)}
    wire = wire_of("A", ring | {((0, 0), (0, 1)), ((2, 0), (2, 1))}, ())
    assert run_between([wire], "A", (0, 0), (2, 0)) == (((0, 0), (2, 0)),)
    assert run_between([wire], "A", (0, 1), (2, 1)) == (((0, 1), (2, 1)),)
    assert run_between([wire], "A", (0, 0), (2, 1)) != ()
