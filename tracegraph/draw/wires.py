"""Unit edges of the router made into straight pieces with dots where arms meet."""

from collections import Counter
from collections.abc import Collection, Iterable

from tracegraph.draw.drawing import Wire
from tracegraph.draw.shapes import Grid, Point

Edge = tuple[Grid, Grid]


def wire_of(
    net: str, edges: Collection[Edge], leads: Iterable[Grid], *, ghost: bool = False
) -> Wire:
    """Return the wire of a net.

    Args:
        net: Its name.
        edges: Unit edges, each from the left or upper point to the other.
        leads: Points at which a pin or port of the net meets it, one each.
        ghost: Whether it leads to a missing part.
    """
    arms = Counter(point for edge in edges for point in edge)
    arms.update(point for point in leads if point in arms)
    dots = tuple(sorted(point for point, count in arms.items() if count > 2))
    return Wire(net, tuple(pieces_of(edges)), dots, ghost)


def pieces_of(edges: Collection[Edge]) -> list[tuple[Point, Point]]:
    """Return unit edges as the longest straight pieces."""
    flat = sorted((y, x) for (x, y), (_, v) in edges if y == v)
    steep = sorted((x, y) for (x, y), (u, _) in edges if x == u)
    return [
        *(((x, y), (u, y)) for y, x, u in _runs(flat)),
        *(((x, y), (x, v)) for x, y, v in _runs(steep)),
    ]


def _runs(starts: Iterable[tuple[int, int]]) -> list[tuple[int, int, int]]:
    """Return runs of unit steps on one line as line, first and last."""
    found: list[tuple[int, int, int]] = []
    for line, start in starts:
        if found and found[-1][0] == line and found[-1][2] == start:
            found[-1] = (line, found[-1][1], start + 1)
        else:
            found.append((line, start, start + 1))
    return found
