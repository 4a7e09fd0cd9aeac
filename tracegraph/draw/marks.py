"""Marks of overlays put on the sheet: halos behind, badges before, texts where free."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from tracegraph.draw.cell import text_box
from tracegraph.draw.copper import nearest_pairs, points_of, run_between
from tracegraph.draw.drawing import Drawn, NetLabel, Noted, Wire
from tracegraph.draw.names import SIZE, WIDEST, spots_of
from tracegraph.draw.overlay import Between, Join, Mark, OnNet, OnPart, Role
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Anchor, Box, Point, Shape, Text
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.badges import (
    badge,
    badge_box,
    cross,
    halo,
    rim,
    strap,
    tone_of,
    trace,
)
from tracegraph.draw.symbols.dress import dressed
from tracegraph.draw.text import cut
from tracegraph.stage.part import Pin

QUIET = {Role.LEVEL, Role.READING, Role.NOTE}
"""Roles that only say something; the others point at what is wrong."""

HALF = 1.3
"""Half of what a badge takes, and a little."""

DETOURS = (1.6, -1.6, 2.6, -2.6, 3.6, -3.6)
"""How far beside the straight line a join may run to keep clear of a body."""


class Ground(NamedTuple):
    """The sheet that marks are put on.

    Attributes:
        drawn: Its parts, missing ones too.
        wires: Its copper.
        labels: The names of nets.
        room: What is taken; every mark takes its own.
    """

    drawn: tuple[Drawn, ...]
    wires: tuple[Wire, ...]
    labels: tuple[NetLabel, ...]
    room: Room


def noted(ground: Ground, marks: Iterable[Mark], layer: int) -> Iterator[Noted]:
    """Yield the marks whose target is on the sheet."""
    for mark in marks:
        found = _noted(ground, mark)
        if found:
            yield found._replace(layer=layer)


def _noted(ground: Ground, mark: Mark) -> Noted | None:
    match mark.target:
        case OnPart(ref):
            return _on_part(ground, mark, ref)
        case OnNet(net):
            return _on_net(ground, mark, net)
        case Between(a, b):
            return _between(ground, mark, a, b)
        case Pin():
            return _on_pin(ground, mark, mark.target)


def _part(ground: Ground, ref: str) -> Drawn | None:
    wanted = ref.lower()
    return next((one for one in ground.drawn if one.ref.lower() == wanted), None)


def _on_part(ground: Ground, mark: Mark, ref: str) -> Noted | None:
    one = _part(ground, ref)
    if one is None:
        return None
    box, role = one.body, mark.role
    under: tuple[Shape, ...] = ()
    over: tuple[Shape, ...] = ()
    if role not in QUIET and one.status != "ghost":
        under = halo(box, role)
        over = (*rim(box, role), *_toned(one, role))
    return _with_badge(ground, mark, _corners(box), under, over)


def _toned(one: Drawn, role: Role) -> tuple[Shape, ...]:
    """Return a part's symbol once more, in the tone of a role."""
    return dressed(Symbol(one.shapes, (), one.body), tone_of(role)).shapes


def _on_pin(ground: Ground, mark: Mark, pin: Pin) -> Noted | None:
    one = _part(ground, pin.part)
    leg = next((leg for leg in one.legs if leg.pin == pin.name), None) if one else None
    if leg is None:
        return None
    x, y = leg.at
    spot = Box(x, y, x, y).grown(0.3)
    under = halo(spot.grown(-0.3), mark.role) if mark.role not in QUIET else ()
    over = cross(leg.at, mark.role) if mark.role is Role.BROKEN else ()
    return _with_badge(ground, mark, _corners(spot), under, over)


def _on_net(ground: Ground, mark: Mark, net: str) -> Noted | None:
    points = points_of(ground.drawn, ground.wires, net)
    if not points:
        return None
    if mark.role in QUIET:
        return _told(ground, mark, net)
    own = [wire for wire in ground.wires if wire.net == net]
    under = tuple(shape for wire in own for shape in trace(wire.segments, mark.role))
    return _with_badge(ground, mark, _near(points), under, ())


def _told(ground: Ground, mark: Mark, net: str) -> Noted | None:
    """Put a text beside a net: after its name, else where names go."""
    wire = next((wire for wire in ground.wires if wire.net == net), None)
    legs = [
        (leg.at, leg.side)
        for one in ground.drawn
        for leg in one.legs
        if dict(one.nets)[leg.pin] == net
    ]
    spots = [*_after(ground, net), *spots_of(wire, legs), *_around(legs)]
    text = _fitted(ground, mark, spots)
    return text and Noted(mark.role, mark.target, (), (), (text,), mark.more)


def _after(ground: Ground, net: str) -> Iterator[tuple[Point, Anchor]]:
    for label in ground.labels:
        if label.net == net:
            middle = (label.box.top + label.box.bottom) / 2
            yield (label.box.right + 0.4, middle), Anchor.START
            yield (label.box.left - 0.4, middle), Anchor.END
            yield (label.box.left, middle - SIZE), Anchor.START


def _around(legs: Iterable[tuple[Point, object]]) -> Iterator[tuple[Point, Anchor]]:
    for (x, y), _ in legs:
        for ring in range(1, 7):
            for dy in (-ring, ring):
                yield (x + 0.4, y + dy), Anchor.START
                yield (x - 0.4, y + dy), Anchor.END


def _fitted(
    ground: Ground, mark: Mark, spots: Iterable[tuple[Point, Anchor]]
) -> Text | None:
    short = cut(mark.text, WIDEST, SIZE)
    for at, anchor in spots:
        text = Text(at, short, SIZE, anchor=anchor, tone=tone_of(mark.role))
        box = text_box(text)
        if ground.room.free(box.grown(0.05)):
            ground.room.take(box)
            return text._replace(full=mark.text if short != mark.text else "")
    return None


def _between(ground: Ground, mark: Mark, a: Pin, b: Pin) -> Noted | None:
    ends = [
        (leg.at, dict(one.nets)[leg.pin])
        for pin in (a, b)
        if (one := _part(ground, pin.part))
        for leg in one.legs
        if leg.pin == pin.name
    ]
    if len(ends) != 2 or ends[0][1] != ends[1][1]:
        return None
    run = run_between(ground.wires, ends[0][1], ends[0][0], ends[1][0])
    under = trace(run, mark.role)
    middle = _middle(run) or ends[0][0]
    over = cross(middle, mark.role) if mark.role is Role.BROKEN else ()
    return _with_badge(ground, mark, _near([middle]), under, over)


def _middle(run: Sequence[tuple[Point, Point]]) -> Point | None:
    if not run:
        return None
    (x, y), (u, v) = run[len(run) // 2]
    return (x + u) / 2, (y + v) / 2


def joined(ground: Ground, joins: Iterable[Join], layer: int) -> Iterator[Noted]:
    """Yield the joins whose two nets are both on the sheet."""
    bodies = [one.body.grown(0.3) for one in ground.drawn]
    bodies += [text_box(text) for one in ground.drawn for text in one.texts]
    clear = Room(bodies)
    for join in joins:
        pairs = nearest_pairs(ground.drawn, ground.wires, join.a, join.b)
        if not pairs:
            continue
        path = next(_clear_paths(pairs, clear), pairs[0])
        over = strap(path, join.role)
        text = join.text or f"{join.a} – {join.b}"
        mark = Mark(OnNet(join.a), join.role, text, more=join.more)
        spots = _near([path[len(path) // 2], *path])
        found = _with_badge(ground, mark, spots, (), over)
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


def _with_badge(
    ground: Ground,
    mark: Mark,
    spots: Iterable[Point],
    under: tuple[Shape, ...],
    over: tuple[Shape, ...],
) -> Noted:
    """Return a mark with its badge at the first free spot, and its text beside it."""
    places = list(spots)
    at = next((one for one in places if ground.room.free(badge_box(one))), places[0])
    ground.room.take(badge_box(at))
    letter = str(mark.rank) if mark.rank else ""
    texts: tuple[Text, ...] = ()
    if mark.text:
        text = _fitted(ground, mark, _beside(at)) or _fitted(
            ground, mark, [spot for place in places for spot in _beside(place)]
        )
        texts = (text,) if text else ()
    over = (*over, *badge(mark.role, at, letter))
    return Noted(mark.role, mark.target, under, over, texts, mark.more or mark.text)


def _beside(at: Point) -> Iterator[tuple[Point, Anchor]]:
    x, y = at
    for dy in (0.0, -1.2, 1.2, -2.0, 2.0):
        yield (x + HALF, y + dy), Anchor.START
        yield (x - HALF, y + dy), Anchor.END


def _corners(box: Box) -> Iterator[Point]:
    """Yield places for a badge around a box, nearest first."""
    for away in (0.9, 1.8, 2.8, 4.0, 6.0):
        for x in (box.left - away, box.right + away):
            for y in (box.top - away, box.bottom + away, *_heights(box)):
                yield x, y
        for y in (box.top - away, box.bottom + away):
            yield (box.left + box.right) / 2, y


def _heights(box: Box) -> tuple[float, ...]:
    middle = (box.top + box.bottom) / 2
    return middle, (middle + box.top) / 2, (middle + box.bottom) / 2


def _near(points: Iterable[Point]) -> Iterator[Point]:
    for x, y in points:
        for away in (1.2, 2.2, 3.2):
            for dx, dy in ((1, -1), (-1, -1), (1, 1), (-1, 1)):
                yield x + dx * away, y + dy * away
