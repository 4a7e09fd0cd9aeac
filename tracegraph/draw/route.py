"""Wires from end to end: short nets first, then rip up and try again what found no way."""

from collections import Counter, deque
from collections.abc import Collection, Iterable, Mapping, Sequence
from math import ceil, floor
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.draw.maze import (
    BEND,
    CLOSE,
    CROSSING,
    STEP,
    WALL,
    Maze,
    Search,
    find,
)
from tracegraph.draw.shapes import Box, Grid

TRIES = 12
"""How often a net may push others aside before it counts as failed."""

NEAR = 1.05
"""How close to a body a wire is unwelcome."""

STRAIGHT = {5, 10}


class Terminals(NamedTuple):
    """What a net must reach: its number and grid points, each a pin or a port."""

    net: int
    points: tuple[Grid, ...]


class Routed(NamedTuple):
    """Wires found.

    Attributes:
        edges: For every net, the unit edges of its wires.
        failed: Nets that found no way.
    """

    edges: Mapping[int, frozenset[tuple[Grid, Grid]]]
    failed: frozenset[int]


def route(
    size: Grid,
    walls: Iterable[Box],
    leads: Mapping[Grid, int],
    nets: Sequence[Terminals],
    earlier: Mapping[int, frozenset[tuple[Grid, Grid]]] = MappingProxyType({}),
    *,
    polish: bool = True,
) -> Routed:
    """Return the wires of all nets.

    Args:
        size: Columns and rows of the grid.
        walls: What no wire may touch.
        leads: Points that a net holds without wires of ours, and whose.
        nets: What is to be joined.
        earlier: Wires that lie already and stay; nothing is ripped up then.
        polish: Whether every wire that bends or crosses is tried once more.
    """
    maze = maze_of(size, walls, leads, nets)
    for number, lying in earlier.items():
        maze.put(number, ((maze.at(one), maze.at(two)) for one, two in lying))
    failed = _all(maze, nets, tries=0 if earlier else TRIES)
    done = {*failed, *earlier}
    wired = [one for one in nets if polish and one.net not in done]
    for net in sorted(wired, key=lambda one: (-worth(maze, one.net), one.net)):
        _again(maze, net)
    edges = {
        net: frozenset((maze.point(one), maze.point(two)) for one, two in found)
        - earlier.get(net, frozenset())
        for net, found in maze.edges.items()
    }
    return Routed(edges, failed)


def _all(maze: Maze, nets: Sequence[Terminals], tries: int) -> frozenset[int]:
    """Wire all nets, and return those that found no way."""
    queue = deque(sorted(nets, key=lambda one: (_span(one.points), one.net)))
    by_number = {one.net: one for one in nets}
    tried: Counter[int] = Counter()
    failed: set[int] = set()
    while queue:
        net = queue.popleft()
        if _wire(maze, net, Search(net.net)) is not None:
            continue
        tried[net.net] += 1
        losers = None
        if tried[net.net] <= tries:
            losers = _wire(maze, net, Search(net.net, clashes=True))
        if losers is None:
            failed.add(net.net)
            continue
        queue.extend(by_number[loser] for loser in sorted(losers))
    return frozenset(failed)


def maze_of(
    size: Grid,
    walls: Iterable[Box],
    leads: Mapping[Grid, int],
    nets: Sequence[Terminals] = (),
) -> Maze:
    """Return the grid with walls, and with the points that nets hold for good."""
    maze = Maze(*size)
    for wall in walls:
        _raise(maze, wall)
    for point, net in leads.items():
        maze.fix(maze.at(point), net)
    for one in nets:
        for point in one.points:
            maze.fix(maze.at(point), one.net)
    return maze


def _raise(maze: Maze, wall: Box) -> None:
    """Close the points inside a wall, and make those beside it dearer."""
    near = wall.grown(NEAR)
    for y in range(max(ceil(near.top), 0), min(floor(near.bottom) + 1, maze.height)):
        for x in range(max(ceil(near.left), 0), min(floor(near.right) + 1, maze.width)):
            index = maze.at((x, y))
            if wall.left <= x <= wall.right and wall.top <= y <= wall.bottom:
                maze.fix(index, WALL)
            else:
                maze.price[index] += CLOSE


def _span(points: Sequence[Grid]) -> int:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs) + max(ys) - min(ys)


def _wire(maze: Maze, net: Terminals, search: Search) -> set[int] | None:
    """Join all points of a net, and return the nets that had to give way.

    None where a point can't be reached: then nothing is laid.
    """
    points = list(dict.fromkeys(maze.at(point) for point in net.points))
    tree, left = {points[0]}, points[1:]
    losers: set[int] = set()
    while left:
        goal = min(left, key=lambda one: (_near(maze, tree, one), one))
        path = find(maze, search, sorted(tree), goal)
        if path is None:
            maze.rip(net.net)
            return None
        for loser in maze.clashes(net.net, path):
            losers.add(loser)
            maze.rip(loser)
        maze.lay(net.net, path)
        tree |= set(path)
        left = [one for one in left if one not in tree]
    return losers


def _near(maze: Maze, tree: Collection[int], goal: int) -> int:
    x, y = maze.point(goal)
    width = maze.width
    return min(abs(one % width - x) + abs(one // width - y) for one in tree)


def _again(maze: Maze, net: Terminals) -> None:
    """Wire a net anew now that all others lie; keep the better of the two."""
    before, cost = set(maze.edges.get(net.net, ())), worth(maze, net.net)
    maze.rip(net.net)
    laid = _wire(maze, net, Search(net.net))
    if laid is None or worth(maze, net.net) > cost:
        maze.rip(net.net)
        maze.put(net.net, before)


def worth(maze: Maze, net: int) -> float:
    """Return what a net's wires cost: length, bends and crossings."""
    arms: Counter[int] = Counter()
    total = 0.0
    masks: dict[int, int] = {}
    for one, two in maze.edges.get(net, ()):
        flat = two - one == 1
        masks[one] = masks.get(one, 0) | (1 if flat else 2)
        masks[two] = masks.get(two, 0) | (4 if flat else 8)
        arms.update((one, two))
        total += STEP + (maze.price[one] + maze.price[two]) / 2
    for index, mask in masks.items():
        bent = arms[index] == 2 and mask not in STRAIGHT
        total += BEND if bent else 0.0
        total += CROSSING if maze.crossed(index, net) else 0.0
    return total
