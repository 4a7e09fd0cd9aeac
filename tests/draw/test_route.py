"""Routed nets join all their points, and meet others at right angles only."""

from collections import Counter
from itertools import combinations

import networkx as nx
from hypothesis import example, given
from hypothesis import strategies as st

from tracegraph.draw.maze import BEND, CROSSING
from tracegraph.draw.route import Routed, Terminals, route
from tracegraph.draw.shapes import Box, Grid
from tracegraph.draw.wires import Edge

SIZE = (16, 14)
PLACES = st.tuples(st.integers(1, 14), st.integers(1, 12))
STRAIGHT = ({(1, 0), (-1, 0)}, {(0, 1), (0, -1)})


class Task:
    """What is to be routed: walls, and the points of each net."""

    def __init__(self, walls: list[Box], nets: list[Terminals]) -> None:
        self.walls, self.nets = walls, nets

    def routed(self, *, polish: bool = True) -> Routed:
        """Return its wires."""
        return route(SIZE, self.walls, {}, self.nets, polish=polish)

    def __repr__(self) -> str:
        return f"Task({self.walls}, {self.nets})"


def holds(wall: Box, at: Grid) -> bool:
    """Return whether a point is in a wall or on its rim."""
    return wall.left <= at[0] <= wall.right and wall.top <= at[1] <= wall.bottom


@st.composite
def tasks(draw: st.DrawFn) -> Task:
    walls = []
    for x, y in draw(st.lists(PLACES, max_size=3)):
        wide, high = draw(st.integers(0, 3)), draw(st.integers(0, 3))
        walls.append(Box(x - 0.5, y - 0.5, x + wide, y + high))
    outside = PLACES.filter(lambda at: not any(holds(wall, at) for wall in walls))
    points = draw(st.lists(outside, unique=True, min_size=2, max_size=12))
    count = draw(st.integers(1, max(1, len(points) // 2)))
    groups = [tuple(points[k::count]) for k in range(count)]
    nets = [Terminals(k, group) for k, group in enumerate(groups) if len(group) > 1]
    return Task(walls, nets)


def arms(edges: frozenset[Edge]) -> dict[Grid, set[Grid]]:
    """Return which ways a net's wires leave each point."""
    found: dict[Grid, set[Grid]] = {}
    for (x, y), (u, v) in edges:
        found.setdefault((x, y), set()).add((u - x, v - y))
        found.setdefault((u, v), set()).add((x - u, y - v))
    return found


def cost(found: Routed) -> float:
    """Return what all wires cost: steps, bends, and each crossing once."""
    ways = [arms(edges) for edges in found.edges.values()]
    bends = sum(
        len(one) == 2 and one not in STRAIGHT for net in ways for one in net.values()
    )
    steps = sum(len(edges) for edges in found.edges.values())
    shared = sum(len(one.keys() & two.keys()) for one, two in combinations(ways, 2))
    return steps + BEND * bends + CROSSING * shared


@given(tasks())
def test_a_net_joins_all_its_points_or_says_that_it_failed(task: Task) -> None:
    found = task.routed()
    for net in task.nets:
        edges = found.edges.get(net.net, frozenset())
        assert bool(edges) is not (net.net in found.failed)
        if edges:
            graph = nx.Graph(list(edges))
            assert nx.is_connected(graph)
            assert graph.nodes >= set(net.points)


@given(tasks())
def test_wires_share_no_stretch_and_cross_at_right_angles_only(task: Task) -> None:
    found = task.routed()
    for one, other in combinations(found.edges.values(), 2):
        assert not one & other
        mine, yours = arms(one), arms(other)
        for at in mine.keys() & yours.keys():
            assert mine[at] in STRAIGHT
            assert yours[at] in STRAIGHT
            assert mine[at] != yours[at]


@given(tasks())
def test_no_wire_touches_a_wall_or_a_foreign_pin(task: Task) -> None:
    for net, edges in task.routed().edges.items():
        foreign = {at for one in task.nets if one.net != net for at in one.points}
        for at in arms(edges):
            assert not any(holds(wall, at) for wall in task.walls)
            assert at not in foreign


@given(tasks())
def test_every_end_of_a_wire_is_a_point_of_its_net(task: Task) -> None:
    points = {net.net: set(net.points) for net in task.nets}
    for net, edges in task.routed().edges.items():
        ends = {at for at, ways in arms(edges).items() if len(ways) == 1}
        assert ends <= points[net]


WORSE = Task(
    [],
    [
        Terminals(0, ((4, 7), (9, 7), (12, 11))),
        Terminals(1, ((5, 6), (4, 5), (9, 9))),
    ],
)
"""Here the second try of a wire is worse than the first, which must come back."""


@example(WORSE)
@given(tasks())
def test_trying_once_more_never_makes_it_worse(task: Task) -> None:
    free = Task([], task.nets)  # beside a wall a step has a price of its own
    before, after = free.routed(polish=False), free.routed()
    assert before.failed == after.failed
    assert cost(after) <= cost(before) + 1e-9


def single(*points: Grid, walls: tuple[Box, ...] = ()) -> frozenset[Edge]:
    return route(SIZE, walls, {}, [Terminals(0, points)]).edges[0]


def test_a_wire_alone_is_as_short_as_can_be_with_one_bend() -> None:
    edges = single((2, 2), (9, 7))
    assert len(edges) == 7 + 5
    turns = [ways for ways in arms(edges).values() if ways not in STRAIGHT]
    assert Counter(map(len, turns)) == {1: 2, 2: 1}


def test_a_wire_goes_around_a_body_and_keeps_two_units_away() -> None:
    edges = single((2, 6), (12, 6), walls=(Box(6, 4, 8, 9),))
    assert len(edges) == 10 + 2 * 4
    assert min(y for _, y in arms(edges)) == 2


def test_a_net_that_is_walled_in_fails_and_has_no_wire() -> None:
    cage = [Box(4, 4, 8, 4), Box(4, 8, 8, 8), Box(4, 4, 4, 8), Box(8, 4, 8, 8)]
    nets = [Terminals(0, ((6, 6), (12, 6))), Terminals(1, ((2, 2), (12, 2)))]
    found = route(SIZE, cage, {}, nets)
    assert found.failed == {0}
    assert len(found.edges[1]) == 10
    assert not found.edges.get(0)


LEVEL = frozenset(((x, 6), (x + 1, 6)) for x in range(1, 14))


def test_what_lies_already_stays_and_may_be_crossed() -> None:
    nets = [Terminals(1, ((7, 3), (7, 9)))]
    found = route(SIZE, (), {}, nets, {0: LEVEL})
    assert found.failed == frozenset()
    assert found.edges[1] == {((7, y), (7, y + 1)) for y in range(3, 9)}
    assert found.edges[0] == frozenset()


def test_a_net_goes_on_from_its_wire_that_lies_already() -> None:
    nets = [Terminals(0, ((7, 6), (7, 9)))]
    found = route(SIZE, (), {}, nets, {0: LEVEL})
    assert found.edges[0] == {((7, y), (7, y + 1)) for y in range(6, 9)}
