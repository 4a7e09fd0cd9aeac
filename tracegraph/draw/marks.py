"""Marks of overlays put on the sheet: halos behind, badges before, texts where free."""

from collections.abc import Iterable, Iterator

from tracegraph.draw.badging import Ground, corners, fitted, near, with_badge
from tracegraph.draw.copper import points_of, run_between
from tracegraph.draw.drawing import Drawn, Noted
from tracegraph.draw.names import SIZE, spots_of
from tracegraph.draw.overlay import Between, Mark, OnNet, OnPart, Role
from tracegraph.draw.shapes import Anchor, Box, Point, Shape
from tracegraph.draw.symbol import Leg, Symbol
from tracegraph.draw.symbols.badges import (
    cross,
    halo,
    rim,
    tone_of,
    trace,
)
from tracegraph.draw.symbols.dress import dressed
from tracegraph.stage.part import Pin

QUIET = {Role.LEVEL, Role.READING, Role.NOTE}
"""Roles that only say something; the others point at what is wrong."""


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
    return with_badge(ground, mark, corners(box), under, over)


def _toned(one: Drawn, role: Role) -> tuple[Shape, ...]:
    """Return a part's symbol once more, in the tone of a role."""
    return dressed(Symbol(one.shapes, (), one.body), tone_of(role)).shapes


def _on_pin(ground: Ground, mark: Mark, pin: Pin) -> Noted | None:
    leg = _leg(ground, pin)
    if leg is None:
        return None
    x, y = leg.at
    spot = Box(x, y, x, y).grown(0.3)
    under = halo(spot.grown(-0.3), mark.role) if mark.role not in QUIET else ()
    over = cross(leg.at, mark.role) if mark.role is Role.BROKEN else ()
    return with_badge(ground, mark, corners(spot), under, over)


def _on_net(ground: Ground, mark: Mark, net: str) -> Noted | None:
    points = points_of(ground.drawn, ground.wires, net)
    if not points:
        return None
    if mark.role in QUIET:
        return _told(ground, mark, net)
    own = [wire for wire in ground.wires if wire.net == net]
    under = tuple(shape for wire in own for shape in trace(wire.segments, mark.role))
    return with_badge(ground, mark, near(points), under, ())


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
    text = fitted(ground, mark, spots)
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


def _between(ground: Ground, mark: Mark, a: Pin, b: Pin) -> Noted | None:
    run = _run(ground, a, b)
    if run is None:
        return None
    under = trace(run, mark.role)
    middle = _middle(run)
    over = cross(middle, mark.role) if mark.role is Role.BROKEN else ()
    return with_badge(ground, mark, near([middle]), under, over)


Run = tuple[tuple[Point, Point], ...]


def _run(ground: Ground, a: Pin, b: Pin) -> Run | None:
    """Return the wire between two pins of one net; a point if they touch."""
    one, two = _leg(ground, a), _leg(ground, b)
    net, other = _net(ground, a), _net(ground, b)
    if one is None or two is None or net is None or net != other:
        return None
    run = run_between(ground.wires, net, one.at, two.at)
    return run or ((one.at, one.at),)


def _leg(ground: Ground, pin: Pin) -> Leg | None:
    one = _part(ground, pin.part)
    wanted = (leg for leg in one.legs if leg.pin == pin.name) if one else iter(())
    return next(wanted, None)


def _net(ground: Ground, pin: Pin) -> str | None:
    one = _part(ground, pin.part)
    return dict(one.nets).get(pin.name) if one else None


def _middle(run: Run) -> Point:
    (x, y), (u, v) = run[len(run) // 2]
    return (x + u) / 2, (y + v) / 2


def take_crosses(ground: Ground, marks: Iterable[Mark]) -> None:
    """Take the room of what can't give way: crosses on pins and wires."""
    for mark in marks:
        at = _cross_at(ground, mark)
        if at:
            ground.room.take(Box(*at, *at).grown(0.7))


def _cross_at(ground: Ground, mark: Mark) -> Point | None:
    if mark.role is not Role.BROKEN:
        return None
    match mark.target:
        case Pin():
            leg = _leg(ground, mark.target)
            return leg and leg.at
        case Between(a, b):
            run = _run(ground, a, b)
            return _middle(run) if run else None
        case _:
            return None
