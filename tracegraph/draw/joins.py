"""Nets found joined: a thick line from copper to copper that keeps clear of bodies."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from tracegraph.draw.badging import Ground, near, with_badge
from tracegraph.draw.cell import text_box
from tracegraph.draw.copper import nearest_pairs
from tracegraph.draw.drawing import Noted
from tracegraph.draw.overlay import Join, Mark, OnNet
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Box, Point
from tracegraph.draw.symbols.badges import strap

DETOURS = (1.6, -1.6, 2.6, -2.6, 3.6, -3.6)
"""How far beside the straight line a join may run to keep clear of a body."""

Track = tuple[Point, ...]
"""The corners of a join."""


def tracks(ground: Ground, joins: Iterable[Join]) -> list[Track | None]:
    """Return how each join runs, None where a net is not here; they take their room."""
    bodies = [one.body.grown(0.3) for one in ground.drawn]
    bodies += [text_box(text) for one in ground.drawn for text in one.texts]
    clear = Room(bodies)
    found: list[Track | None] = []
    for join in joins:
        pairs = nearest_pairs(ground.drawn, ground.wires, join.a, join.b)
        track = next(_clear_paths(pairs, clear), pairs[0]) if pairs else None
        for piece in pairwise(track or ()):
            ground.room.take(_span(*piece).grown(0.35))
        found.append(track)
    return found


def joined(
    ground: Ground, joins: Iterable[Join], along: Iterable[Track | None], layer: int
) -> Iterator[Noted]:
    """Yield the joins whose two nets are both on the sheet."""
    for join, track in zip(joins, along, strict=True):
        if track is None:
            continue
        text = join.text or f"{join.a} – {join.b}"
        mark = Mark(OnNet(join.a), join.role, text, more=join.more)
        spots = near([track[len(track) // 2], *track])
        found = with_badge(ground, mark, spots, (), strap(track, join.role))
        yield found._replace(layer=layer, target=None)


def _clear_paths(
    pairs: Iterable[tuple[Point, Point]], clear: Room
) -> Iterator[tuple[Point, ...]]:
    """Yield ways from net to net that keep clear of bodies and texts."""
    for a, b in pairs:
        for path in _paths(a, b):
            if all(clear.free(_span(*piece)) for piece in pairwise(path)):
                yield path


def _paths(a: Point, b: Point) -> Iterator[tuple[Point, ...]]:
    (x, y), (u, v) = a, b
    if x == u or y == v:
        yield a, b
    for by in DETOURS:
        if y == v:
            yield a, (x, y + by), (u, y + by), b
        elif x == u:
            yield a, (x + by, y), (x + by, v), b
    if x != u and y != v:
        yield a, (u, y), b
        yield a, (x, v), b


def _span(a: Point, b: Point) -> Box:
    (x, y), (u, v) = a, b
    return Box(min(x, u), min(y, v), max(x, u), max(y, v)).grown(0.05)
