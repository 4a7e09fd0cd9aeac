"""Questions about the copper on a sheet: where a net is, what lies between two pins."""

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from heapq import nsmallest

from tracegraph.draw.drawing import Drawn, Wire
from tracegraph.draw.shapes import Grid, Point
from tracegraph.draw.wires import Edge, pieces_of


def edges_of(wire: Wire) -> Iterator[Edge]:
    """Yield the unit edges of a wire, each from its left or upper point."""
    for (x, y), (u, v) in wire.segments:
        a, b, c, d = round(x), round(y), round(u), round(v)
        for k in range(c - a):
            yield (a + k, b), (a + k + 1, b)
        for k in range(d - b):
            yield (a, b + k), (a, b + k + 1)


def points_of(drawn: Iterable[Drawn], wires: Iterable[Wire], net: str) -> list[Grid]:
    """Return the grid points of a net: along its wires, and at its pins."""
    found = [
        point
        for wire in wires
        if wire.net == net
        for edge in edges_of(wire)
        for point in edge
    ]
    found += [
        leg.at for one in drawn for leg in one.legs if dict(one.nets)[leg.pin] == net
    ]
    return list(dict.fromkeys(found))


def nearest_pairs(
    drawn: Sequence[Drawn], wires: Sequence[Wire], a: str, b: str
) -> list[tuple[Point, Point]]:
    """Return pairs of points of two nets, the nearest first, none of a missing part."""
    real = [one for one in drawn if one.status != "ghost"]
    lying = [wire for wire in wires if not wire.ghost]
    ones, others = points_of(real, lying, a), points_of(real, lying, b)
    pairs = (
        (abs(x - u) + abs(y - v), (x, y), (u, v)) for x, y in ones for u, v in others
    )
    return [(one, other) for _, one, other in nsmallest(PAIRS, pairs)]


PAIRS = 300
"""How many pairs of points are looked at for a clear way between two nets."""


def run_between(
    wires: Iterable[Wire], net: str, start: Point, goal: Point
) -> tuple[tuple[Point, Point], ...]:
    """Return the pieces of wire that lead from one point of a net to another."""
    beside: dict[Grid, list[Grid]] = {}
    for wire in wires:
        for one, two in edges_of(wire) if wire.net == net else ():
            beside.setdefault(one, []).append(two)
            beside.setdefault(two, []).append(one)
    first = (round(start[0]), round(start[1]))
    last = (round(goal[0]), round(goal[1]))
    came: dict[Grid, Grid | None] = {first: None}
    queue = deque([first])
    while queue:
        here = queue.popleft()
        for there in beside.get(here, ()):
            if there not in came:
                came[there] = here
                queue.append(there)
    edges: list[Edge] = []
    at: Grid | None = last if last in came else None
    while at is not None:
        before = came[at]
        if before is not None:
            edges.append((min(at, before), max(at, before)))
        at = before
    return tuple(pieces_of(edges))
