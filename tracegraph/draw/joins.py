"""Nets found joined: a thick line from copper to copper that keeps clear of bodies."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import ceil

from tracegraph.draw.badging import Ground, near, with_badge
from tracegraph.draw.cell import text_box
from tracegraph.draw.copper import edges_of, nearest_pairs
from tracegraph.draw.drawing import Noted, Wire
from tracegraph.draw.layout import TITLE, leads_of, walls_of
from tracegraph.draw.maze import Maze, Search, find
from tracegraph.draw.overlay import Join, Mark, OnNet
from tracegraph.draw.room import Room
from tracegraph.draw.route import maze_of
from tracegraph.draw.shapes import Box, Grid, Point, around
from tracegraph.draw.symbols.badges import strap

DETOURS = (1.6, -1.6, 2.6, -2.6, 3.6, -3.6)
"""How far beside the straight line a join may run to keep clear of a body."""

RIM = 4
"""Units beyond everything where a join may still run, the closed rim among them."""

OWN = 0
"""Number of the two nets that a way is searched between."""

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
        track = None
        if pairs:
            plain = next(_clear_paths(pairs, clear), None)
            track = plain or _searched(ground, join, pairs, found) or pairs[0]
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
        mark = Mark(OnNet(join.a), join.role, text, join.rank, join.more)
        spots = near([track[len(track) // 2], *track])
        found = with_badge(ground, mark, spots, (), strap(track, join.role))
        yield found._replace(layer=layer, target=None)


def _searched(
    ground: Ground,
    join: Join,
    pairs: Iterable[tuple[Point, Point]],
    others: Iterable[Track | None],
) -> Track | None:
    """Return a way around bodies, crossing wires and other joins squarely, or None."""
    maze = _maze(ground, join, others)
    starts, goals = (
        [maze.at((round(x), round(y))) for x, y in dict.fromkeys(ends)]
        for ends in zip(*pairs, strict=True)
    )
    path = find(maze, Search(OWN), starts, goals[0])
    if path is None:
        return None
    last = next(k for k, index in enumerate(path) if index in goals)
    return tuple(_corners([maze.point(index) for index in path[: last + 1]]))


def _maze(ground: Ground, join: Join, others: Iterable[Track | None]) -> Maze:
    """Return the sheet's grid; both nets of a join are one net there."""
    drawn, ports, own = ground.drawn, ground.ports, {join.a: OWN, join.b: OWN}
    nets = dict.fromkeys(net for one in drawn for _, net in one.nets)
    nets.update(dict.fromkeys(wire.net for wire in ground.wires))
    numbers = {net: number for number, net in enumerate(nets, 1)} | own
    walls = [*walls_of(drawn, ports), *(label.box for label in ground.labels)]
    whole = around(
        (*walls, *(Box(*leg.at, *leg.at) for one in drawn for leg in one.legs))
    )
    size = ceil(whole.right) + RIM, ceil(whole.bottom) + RIM
    walls.append(Box(0, 0, size[0], TITLE))
    maze = maze_of(size, walls, leads_of(drawn, ports, numbers))
    lying = [(numbers[wire.net], wire) for wire in ground.wires]
    for number, track in enumerate(others, len(numbers) + 1):
        lying += [(number, wire) for wire in _as_wires(track or ())]
    for number, wire in lying:
        maze.put(number, ((maze.at(one), maze.at(two)) for one, two in edges_of(wire)))
    return maze


def _as_wires(track: Track) -> Iterator[Wire]:
    """Yield the pieces of a join that lie on the grid."""
    for piece in pairwise(track):
        if all(part == round(part) for end in piece for part in end):
            yield Wire("", ((min(piece), max(piece)),), ())


def _corners(path: Sequence[Grid]) -> Iterator[Grid]:
    """Yield both ends of a way, and where it turns."""
    yield path[0]
    for (x, y), at, (u, v) in zip(path, path[1:], path[2:], strict=False):
        if x != u and y != v:
            yield at
    yield path[-1]


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
