"""The search finds a cheapest way, by the rules of the pen written down once more."""

from collections.abc import Iterator
from itertools import pairwise

import networkx as nx
from hypothesis import assume, given
from hypothesis import strategies as st

from tracegraph.draw.maze import BEND, CROSSING, STEP, WALL, Maze, Path, Search, find
from tracegraph.draw.shapes import Grid

OWN, OTHER = 1, 2
WAYS = ((1, 0), (0, 1), (-1, 0), (0, -1))


class Board:
    """Walls, dear points, and the straight wires of another net, as plain sets."""

    def __init__(
        self,
        size: Grid,
        walls: set[Grid],
        dear: dict[Grid, float],
        wires: list[tuple[Grid, Grid]],
    ) -> None:
        self.size, self.walls, self.dear = size, walls, dear
        self.arms: dict[Grid, set[Grid]] = {}
        for (x, y), (u, v) in wires:
            way = (u > x) - (u < x), (v > y) - (v < y)
            for k in range(abs(u - x) + abs(v - y)):
                at = x + k * way[0], y + k * way[1]
                beyond = at[0] + way[0], at[1] + way[1]
                self.arms.setdefault(at, set()).add(way)
                self.arms.setdefault(beyond, set()).add((-way[0], -way[1]))

    def maze(self, wires: list[tuple[Grid, Grid]]) -> Maze:
        """Return the same as the router's own grid."""
        maze = Maze(*self.size)
        for wall in self.walls:
            maze.fix(maze.at(wall), WALL)
        for at, price in self.dear.items():
            maze.price[maze.at(at)] = price
        for wire in wires:
            maze.lay(OTHER, [maze.at(at) for at in _points(wire)])
        return maze

    def free(self, at: Grid) -> bool:
        """Return whether nothing at all is at a point."""
        (x, y), (wide, high) = at, self.size
        inside = 0 < x < wide - 1 and 0 < y < high - 1
        return inside and at not in self.walls and at not in self.arms

    def entry(self, at: Grid, way: Grid) -> float | None:
        """Return what a step on to a point costs, None where it may not be made."""
        price = STEP + self.dear.get(at, 0.0)
        if self.free(at):
            return price
        aside = {(way[1], way[0]), (-way[1], -way[0])}
        return price + CROSSING if self.arms.get(at) == aside else None

    def graph(self, starts: list[Grid], goal: Grid) -> "nx.DiGraph[object]":
        """Return every step of a wire as an edge with its cost."""
        graph: nx.DiGraph[object] = nx.DiGraph()
        graph.add_nodes_from(("start", "goal"))
        for start in starts:
            for way in WAYS:
                self._step(graph, "start", start, way, 0.0)
        for x in range(self.size[0]):
            for y in range(self.size[1]):
                for way in WAYS:
                    self._ahead(graph, (x, y), way)
        for way in WAYS:
            if self.free(goal):
                graph.add_edge((goal, way), "goal", weight=0.0)
        return graph

    def _ahead(self, graph: "nx.DiGraph[object]", at: Grid, way: Grid) -> None:
        self._step(graph, (at, way), at, way, 0.0)
        if self.free(at):
            for turned in ((way[1], way[0]), (-way[1], -way[0])):
                self._step(graph, (at, way), at, turned, BEND)

    def _step(
        self,
        graph: "nx.DiGraph[object]",
        tail: object,
        at: Grid,
        way: Grid,
        cost: float,
    ) -> None:
        there = at[0] + way[0], at[1] + way[1]
        entry = self.entry(there, way)
        if entry is not None:
            graph.add_edge(tail, (there, way), weight=cost + entry)

    def cost(self, path: list[Grid]) -> float:
        """Return what a way costs."""
        ways = [(u - x, v - y) for (x, y), (u, v) in pairwise(path)]
        entries = [self.entry(*one) for one in zip(path[1:], ways, strict=True)]
        assert None not in entries
        bends = sum(one != other for one, other in pairwise(ways))
        return sum(one or 0.0 for one in entries) + BEND * bends


def _points(wire: tuple[Grid, Grid]) -> Iterator[Grid]:
    (x, y), (u, v) = wire
    for k in range(abs(u - x) + abs(v - y) + 1):
        yield x + k * (u > x), y + k * (v > y)


SIZE = (9, 9)
INSIDE = st.integers(1, 7)
PLACES = st.tuples(INSIDE, INSIDE)


@st.composite
def lines(draw: st.DrawFn) -> tuple[Grid, Grid]:
    (x, y), end = draw(PLACES), draw(INSIDE)
    if draw(st.booleans()):
        return (min(x, end), y), (max(x, end) + (x == end), y)
    return (x, min(y, end)), (x, max(y, end) + (y == end))


@st.composite
def boards(draw: st.DrawFn) -> tuple[Board, Maze, list[Grid], Grid]:
    walls = draw(st.sets(PLACES, max_size=14))
    wires = draw(st.lists(lines(), max_size=2))
    wires = [one for one in wires if walls.isdisjoint(_points(one)) and one[1] < (8, 8)]
    wires = [one for one in wires if 8 not in one[1]]
    dear = draw(st.dictionaries(PLACES, st.sampled_from((0.6, 1.2)), max_size=8))
    board = Board(SIZE, walls, dear, wires)
    starts = draw(st.lists(PLACES.filter(board.free), min_size=1, max_size=3))
    goal = draw(PLACES)
    assume(goal not in starts)
    return board, board.maze(wires), starts, goal


@given(boards())
def test_a_way_found_is_a_cheapest(case: tuple[Board, Maze, list[Grid], Grid]) -> None:
    """Held against `networkx.shortest_path_length` over every point and direction."""
    board, maze, starts, goal = case
    found = find(maze, Search(OWN), [maze.at(one) for one in starts], maze.at(goal))
    graph = board.graph(starts, goal)
    assert (found is not None) is nx.has_path(graph, "start", "goal")
    if found is not None:
        path = [maze.point(index) for index in found]
        assert path[0] in starts
        assert path[-1] == goal
        cheapest = nx.shortest_path_length(graph, "start", "goal", weight="weight")
        assert abs(board.cost(path) - cheapest) < 1e-9


def way(maze: Maze, start: Grid, goal: Grid, net: int = OWN) -> Path | None:
    return find(maze, Search(net), [maze.at(start)], maze.at(goal))


def test_a_wire_crosses_another_at_a_right_angle() -> None:
    maze = Maze(9, 9)
    maze.lay(OTHER, [maze.at((4, y)) for y in range(1, 8)])
    assert way(maze, (2, 4), (6, 4)) == [maze.at((x, 4)) for x in range(2, 7)]


def test_a_wire_neither_ends_on_another_nor_runs_along_it() -> None:
    maze = Maze(9, 9)
    maze.lay(OTHER, [maze.at((4, y)) for y in range(1, 8)])
    assert way(maze, (2, 4), (4, 4)) is None
    assert way(maze, (4, 1), (4, 4)) is None


def test_a_crossed_point_takes_no_third_wire() -> None:
    maze = Maze(9, 9)
    maze.lay(OTHER, [maze.at((4, y)) for y in range(1, 8)])
    maze.lay(3, [maze.at((x, 4)) for x in range(1, 8)])
    for net in (OTHER, 3):
        assert maze.crossed(maze.at((4, 4)), net)
    path = way(maze, (2, 2), (6, 6))
    assert path is not None
    assert maze.at((4, 4)) not in path


def test_only_what_may_clash_pushes_others_aside_and_never_a_pin() -> None:
    maze = Maze(9, 3)
    maze.lay(OTHER, [maze.at((x, 1)) for x in (3, 4, 5)])
    start, goal = [maze.at((1, 1))], maze.at((7, 1))
    assert find(maze, Search(OWN), start, goal) is None
    path = find(maze, Search(OWN, clashes=True), start, goal)
    assert path is not None
    assert maze.clashes(OWN, path) == {OTHER}
    maze.fix(maze.at((4, 1)), OTHER)
    assert find(maze, Search(OWN, clashes=True), start, goal) is None


def test_what_is_ripped_up_leaves_its_pins_and_nothing_else() -> None:
    maze = Maze(9, 9)
    maze.fix(maze.at((4, 1)), OTHER)
    before = [*maze.flat], [*maze.steep]
    maze.lay(OTHER, [maze.at((4, y)) for y in range(1, 8)])
    assert ([*maze.flat], [*maze.steep]) != before
    maze.rip(OTHER)
    assert ([*maze.flat], [*maze.steep]) == before
