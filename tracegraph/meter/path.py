"""The current's way between the probes, as series and parallel parts.

Two-terminal edges between nodes are folded: parallel edges into one, nodes with two
edges into a series. What is left when nothing folds any more is named as a mesh.
"""

from collections.abc import Iterable
from typing import NamedTuple


class Leaf(NamedTuple):
    """One part, in words."""

    words: str


class Series(NamedTuple):
    """Ways passed one after the other."""

    ways: "tuple[Way, ...]"


class Parallel(NamedTuple):
    """Ways passed side by side."""

    ways: "tuple[Way, ...]"


class Mesh(NamedTuple):
    """Parts that are neither in series nor in parallel."""

    words: tuple[str, ...]


Way = Leaf | Series | Parallel | Mesh


class Edge(NamedTuple):
    """A way between two nodes."""

    a: int
    b: int
    way: Way


def fold(edges: Iterable[Edge], red: int, black: int) -> Way | None:
    """Return the way from red to black; None if no edge is left."""
    left = list(edges)
    while True:
        folded = _series(_parallel(_pruned(left, red, black)), red, black)
        if len(folded) == len(left):
            break
        left = folded
    if not left:
        return None
    if len(left) == 1:
        return left[0].way
    return Mesh(
        tuple(dict.fromkeys(word for one in left for word in words_of(one.way)))
    )


def _pruned(edges: list[Edge], red: int, black: int) -> list[Edge]:
    """Leave out loops and edges that end nowhere."""
    degree: dict[int, int] = {}
    for one in edges:
        for node in (one.a, one.b):
            degree[node] = degree.get(node, 0) + 1
    ends = {red, black}
    return [
        one
        for one in edges
        if one.a != one.b and all(n in ends or degree[n] > 1 for n in (one.a, one.b))
    ]


def _parallel(edges: list[Edge]) -> list[Edge]:
    """Fold edges between the same two nodes."""
    bundles: dict[frozenset[int], list[Edge]] = {}
    for one in edges:
        bundles.setdefault(frozenset((one.a, one.b)), []).append(one)
    return [
        bundle[0]
        if len(bundle) == 1
        else Edge(bundle[0].a, bundle[0].b, _beside(bundle))
        for bundle in bundles.values()
    ]


def _beside(bundle: list[Edge]) -> Parallel:
    ways: list[Way] = []
    for one in bundle:
        ways += one.way.ways if isinstance(one.way, Parallel) else (one.way,)
    return Parallel(tuple(ways))


def _series(edges: list[Edge], red: int, black: int) -> list[Edge]:
    """Fold the first node that has just two edges and is no probe."""
    touching: dict[int, list[Edge]] = {}
    for one in edges:
        for node in (one.a, one.b):
            touching.setdefault(node, []).append(one)
    for node, pair in touching.items():
        if node not in {red, black} and len(pair) == 2:
            first, second = (_toward(pair[0], node), _away(pair[1], node))
            rest = [one for one in edges if one is not pair[0] and one is not pair[1]]
            return [*rest, Edge(first.a, second.b, _after(first.way, second.way))]
    return edges


def _toward(edge: Edge, node: int) -> Edge:
    return edge if edge.b == node else _turned(edge)


def _away(edge: Edge, node: int) -> Edge:
    return edge if edge.a == node else _turned(edge)


def _turned(edge: Edge) -> Edge:
    """Return an edge walked the other way."""
    way = edge.way
    if isinstance(way, Series):
        way = Series(way.ways[::-1])
    return Edge(edge.b, edge.a, way)


def _after(first: Way, second: Way) -> Series:
    ways: list[Way] = []
    for way in (first, second):
        ways += way.ways if isinstance(way, Series) else (way,)
    return Series(tuple(ways))


def words_of(way: Way) -> tuple[str, ...]:
    """Return the words of every part on a way."""
    if isinstance(way, Leaf):
        return (way.words,)
    if isinstance(way, Mesh):
        return way.words
    return tuple(word for one in way.ways for word in words_of(one))


def spoken(way: Way, *, inner: bool = False) -> str:
    """Return a way in the trade's words: `R1 10 k in parallel with (R2 22 Ω + D1)`."""
    if isinstance(way, Leaf):
        return way.words
    if isinstance(way, Mesh):
        return "a mesh of " + ", ".join(way.words)
    joint = " + " if isinstance(way, Series) else " in parallel with "
    texts = list(dict.fromkeys(spoken(one, inner=True) for one in way.ways))
    text = joint.join(texts)  # both halves of a two-way clamp are one part
    return f"({text})" if inner and len(texts) > 1 else text
