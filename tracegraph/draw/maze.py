"""The grid that wires run on, and the cheapest way through it.

A wire may cross another at a right angle, and nothing else: never run along it, turn
or end on it. The search is A* (Hart, Nilsson, Raphael 1968) over place and direction.
"""

from collections.abc import Sequence
from heapq import heappop, heappush
from itertools import pairwise
from math import inf
from typing import NamedTuple

from tracegraph.draw.shapes import Grid

STEP, BEND, CROSSING, CLOSE = 1.0, 3.0, 8.0, 0.6
CLASH = 40.0
"""What it costs to take a place that another net holds, when wires are ripped up."""

FREE = -1
WALL = -2
Path = list[int]


class Search(NamedTuple):
    """What one search may do.

    Attributes:
        net: Number of the net.
        clashes: Whether it may take what other nets hold, at a price.
    """

    net: int
    clashes: bool = False


class Maze:
    """Who holds which grid point, and which way wires run through it.

    Attributes:
        width: Points in a row.
        height: Points in a column.
        pins: Net that a point is a pin of; WALL inside bodies and labels; else FREE.
        flat: Net whose wire runs through a point from left to right, or FREE.
        steep: Net whose wire runs through it from top to bottom, or FREE.
        knots: Net that bends, ends or branches at it, or FREE.
        price: What passing a point costs beside the step: near a body, or contested.
    """

    def __init__(self, width: int, height: int) -> None:
        """Make an empty grid."""
        self.width, self.height = width, height
        size = width * height
        self.pins = [FREE] * size
        self.flat = [FREE] * size
        self.steep = [FREE] * size
        self.knots = [FREE] * size
        self.price = [0.0] * size
        self.edges: dict[int, set[tuple[int, int]]] = {}
        for x in range(width):
            self.pins[x] = self.pins[size - 1 - x] = WALL
        for y in range(height):
            self.pins[y * width] = self.pins[(y + 1) * width - 1] = WALL

    def at(self, point: Grid) -> int:
        """Return the number of a grid point."""
        return point[1] * self.width + point[0]

    def point(self, index: int) -> Grid:
        """Return the grid point of a number."""
        return index % self.width, index // self.width

    def free_for(self, index: int, net: int, *, steep: bool) -> bool:
        """Return whether a wire may run straight through a point."""
        own = (FREE, net)
        return (
            self.pins[index] in own
            and self.knots[index] in own
            and (self.steep if steep else self.flat)[index] in own
        )

    def turns_for(self, index: int, net: int) -> bool:
        """Return whether a wire may bend or end at a point."""
        own = (FREE, net)
        return (
            self.pins[index] in own
            and self.knots[index] in own
            and self.flat[index] in own
            and self.steep[index] in own
        )

    def crossed(self, index: int, net: int) -> bool:
        """Return whether another net runs through a point of this one."""
        return not {self.flat[index], self.steep[index]} <= {FREE, net}

    def gives_way(self, index: int, search: Search) -> bool:
        """Return whether whoever holds a point may be pushed aside."""
        return search.clashes and self.pins[index] in (FREE, search.net)

    def clashes(self, net: int, path: Path) -> set[int]:
        """Return the nets that must give way before a path can be laid."""
        found: set[int] = set()
        for place, index in enumerate(path):
            ends = path[place - 1 : place + 2] if place else []
            straight = len(ends) == 3 and ends[2] - ends[1] == ends[1] - ends[0]
            if straight and self.free_for(
                index, net, steep=abs(ends[1] - ends[0]) != 1
            ):
                continue
            found |= {self.flat[index], self.steep[index], self.knots[index]}
        return found - {FREE, net}

    def lay(self, net: int, path: Path) -> None:
        """Give a path to a net."""
        edges = self.edges.setdefault(net, set())
        for one, two in pairwise(path):
            edges.add((min(one, two), max(one, two)))
        self._mark(net)

    def _mark(self, net: int) -> None:
        arms: dict[int, int] = {}
        for one, two in self.edges[net]:
            flat = two - one == 1
            arms[one] = arms.get(one, 0) | (1 if flat else 2)
            arms[two] = arms.get(two, 0) | (4 if flat else 8)
        for index, mask in arms.items():
            straight = {5: self.flat, 10: self.steep}.get(mask)
            if straight is None or self.pins[index] == net:
                self.knots[index] = net
                self.flat[index] = self.steep[index] = net
            else:
                straight[index] = net

    def rip(self, net: int) -> None:
        """Take everything back from a net but its pins."""
        for edge in self.edges.pop(net, ()):
            for index in edge:
                for layer in (self.flat, self.steep, self.knots):
                    if layer[index] == net:
                        layer[index] = FREE


def find(maze: Maze, search: Search, starts: Sequence[int], goal: int) -> Path | None:
    """Return the cheapest way from one of the starts to the goal, or None."""
    width = maze.width
    goal_x, goal_y = goal % width, goal // width
    steps = (1, width, -1, -width)
    best: dict[int, float] = {}
    came: dict[int, int] = {}
    heap: list[tuple[float, float, int]] = []

    def reach(index: int, way: int, cost: float, origin: int) -> None:
        there = index + steps[way]
        step = _cost(maze, search, there, way, goal)
        state = there * 4 + way
        if step is None or cost + step >= best.get(state, inf):
            return
        best[state], came[state] = cost + step, origin
        ahead = abs(there % width - goal_x) + abs(there // width - goal_y)
        heappush(heap, (cost + step + ahead, cost + step, state))

    for start in starts:
        if _turn_cost(maze, search, start) == 0:
            for way in range(4):
                reach(start, way, 0.0, -1 - start)
    while heap:
        _, cost, state = heappop(heap)
        if cost > best[state]:
            continue
        index, way = state >> 2, state & 3
        if index == goal:
            return _trace(came, state)
        reach(index, way, cost, state)
        bend = _turn_cost(maze, search, index)
        if bend is not None:
            reach(index, (way + 1) & 3, cost + BEND + bend, state)
            reach(index, (way + 3) & 3, cost + BEND + bend, state)
    return None


def _turn_cost(maze: Maze, search: Search, index: int) -> float | None:
    """Return what bending at a point costs beside the bend, or None if it may not."""
    if maze.turns_for(index, search.net):
        return 0.0
    return CLASH if maze.gives_way(index, search) else None


def _cost(maze: Maze, search: Search, there: int, way: int, goal: int) -> float | None:
    """Return what a step to a point costs, or None where it is not allowed."""
    net = search.net
    pin = maze.pins[there]
    if pin not in (FREE, net):
        return None
    cost = STEP + maze.price[there]
    steep = way in (1, 3)
    free = (
        maze.turns_for(there, net)
        if there == goal
        else maze.free_for(there, net, steep=steep)
    )
    if not free:
        return cost + CLASH if maze.gives_way(there, search) else None
    across = (maze.flat if steep else maze.steep)[there]
    return cost if across in (FREE, net) else cost + CROSSING


def _trace(came: dict[int, int], state: int) -> Path:
    path = []
    while state >= 0:
        path.append(state >> 2)
        state = came[state]
    return [-1 - state, *reversed(path)]
