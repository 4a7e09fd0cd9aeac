"""The grid that wires run on, and the cheapest way through it.

A wire may cross another at a right angle, and nothing else: never run along it, turn
or end on it. The search is A* (Hart, Nilsson, Raphael 1968) over place and direction.
"""

from collections.abc import Iterable, Sequence
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
        flat: Who holds each point against wires from left to right: a net that runs
            that way, bends, ends or has a pin there; WALL inside bodies; else FREE.
        steep: The same for wires from top to bottom.
        pins: Net that a point is a pin of, or WALL; else FREE.
        price: What passing a point costs beside the step: it is near a body.
        edges: The unit edges of each net's wires.
    """

    def __init__(self, width: int, height: int) -> None:
        """Make an empty grid; its rim is closed."""
        self.width, self.height = width, height
        size = width * height
        self.pins = [FREE] * size
        self.flat = [FREE] * size
        self.steep = [FREE] * size
        self.price = [0.0] * size
        self.edges: dict[int, set[tuple[int, int]]] = {}
        rim = [*range(width), *range(size - width, size)]
        for y in range(height):
            rim += [y * width, (y + 1) * width - 1]
        for index in rim:
            self.fix(index, WALL)

    def at(self, point: Grid) -> int:
        """Return the number of a grid point."""
        return point[1] * self.width + point[0]

    def point(self, index: int) -> Grid:
        """Return the grid point of a number."""
        return index % self.width, index // self.width

    def fix(self, index: int, net: int) -> None:
        """Give a point to a net for good, or close it."""
        self.pins[index] = self.flat[index] = self.steep[index] = net

    def turns_for(self, index: int, net: int) -> bool:
        """Return whether a wire may bend or end at a point."""
        own = (FREE, net)
        return self.flat[index] in own and self.steep[index] in own

    def crossed(self, index: int, net: int) -> bool:
        """Return whether another net runs through a point of this one."""
        return not {self.flat[index], self.steep[index]} <= {FREE, net}

    def clashes(self, net: int, path: Path) -> set[int]:
        """Return the nets that must give way before a path can be laid."""
        found: set[int] = set()
        for place, index in enumerate(path):
            ends = path[place - 1 : place + 2] if place else []
            straight = len(ends) == 3 and ends[2] - ends[1] == ends[1] - ends[0]
            layer = self.flat if straight and _flat(ends[0], index) else self.steep
            if not straight:
                found |= {self.flat[index], self.steep[index]}
            elif layer[index] != net:
                found.add(layer[index])
        return found - {FREE, net}

    def lay(self, net: int, path: Path) -> None:
        """Give a path to a net."""
        self.put(net, pairwise(path))

    def put(self, net: int, edges: Iterable[tuple[int, int]]) -> None:
        """Give unit edges to a net, all at once: what is straight holds one way only."""
        fresh = {(min(edge), max(edge)) for edge in edges}
        own = self.edges.setdefault(net, set())
        own |= fresh
        for index in {index for edge in fresh for index in edge}:
            self._hold(net, index, own)

    def _hold(self, net: int, index: int, edges: set[tuple[int, int]]) -> None:
        flat = [(index - 1, index) in edges, (index, index + 1) in edges]
        up, down = (index - self.width, index), (index, index + self.width)
        steep = [up in edges, down in edges]
        bent = self.pins[index] == net
        if bent or not all(steep) or any(flat):
            self.flat[index] = net
        if bent or not all(flat) or any(steep):
            self.steep[index] = net

    def rip(self, net: int) -> None:
        """Take everything back from a net but its pins."""
        for edge in self.edges.pop(net, ()):
            for index in edge:
                for layer in (self.flat, self.steep):
                    if layer[index] == net:
                        layer[index] = self.pins[index]


def _flat(one: int, two: int) -> bool:
    return abs(one - two) == 1


def find(maze: Maze, search: Search, starts: Sequence[int], goal: int) -> Path | None:
    """Return the cheapest way from one of the starts to the goal, or None."""
    net, clashes, width = search.net, search.clashes, maze.width
    goal_x, goal_y = goal % width, goal // width
    own, steps = (FREE, net), (1, width, -1, -width)
    layers, across = (maze.flat, maze.steep), (maze.steep, maze.flat)
    pins, price = maze.pins, maze.price
    best = [inf] * (4 * len(price))
    came: dict[int, int] = {}
    heap: list[tuple[float, float, int]] = []
    # steps to look at: from where, which way, paid so far, what led there
    fresh = [
        (start, way, 0.0, -1 - start)
        for start in starts
        if maze.turns_for(start, net)
        for way in range(4)
    ]
    while True:
        for index, way, paid, origin in fresh:
            there = index + steps[way]
            held, other = layers[way & 1][there], across[way & 1][there]
            cost = paid + STEP + price[there]
            if held not in own or (there == goal and other not in own):
                if not clashes or pins[there] not in own:
                    continue
                cost += CLASH
            elif other not in own:
                cost += CROSSING
            state = there * 4 + way
            if cost < best[state]:
                best[state], came[state] = cost, origin
                # the least that is still to pay: steps, and bends that can't be spared
                x, y = there % width - goal_x, there // width - goal_y
                along, aside = (y, x) if way & 1 else (x, y)
                past = along > 0 if way < 2 else along < 0
                ahead = STEP * (abs(x) + abs(y)) + BEND * (2 if past else bool(aside))
                heappush(heap, (cost + ahead, cost, state))
        nearest = _nearest(heap, best)
        if nearest is None:
            return None
        cost, state = nearest
        index, way = state >> 2, state & 3
        if index == goal:
            return _trace(came, state)
        fresh = [(index, way, cost, state)]
        turns = maze.turns_for(index, net)
        if turns or clashes:
            bend = cost + BEND if turns else cost + BEND + CLASH
            fresh.append((index, (way + 1) & 3, bend, state))
            fresh.append((index, (way + 3) & 3, bend, state))


def _nearest(
    heap: list[tuple[float, float, int]], best: Sequence[float]
) -> tuple[float, int] | None:
    """Take the most promising state that no cheaper way has led to since."""
    while heap:
        _, cost, state = heappop(heap)
        if cost <= best[state]:
            return cost, state
    return None


def _trace(came: dict[int, int], state: int) -> Path:
    path = []
    while state >= 0:
        path.append(state >> 2)
        state = came[state]
    return [-1 - state, *reversed(path)]
