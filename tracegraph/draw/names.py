"""Names of nets beside their wires, where there is room."""

from collections.abc import Iterable, Iterator

from tracegraph.draw.cell import text_box
from tracegraph.draw.drawing import Drawn, NetLabel, Port, PortForm, Wire
from tracegraph.draw.items import Section
from tracegraph.draw.room import Room
from tracegraph.draw.shapes import Anchor, Box, Point, Side, Text, Tone, around
from tracegraph.draw.text import cut

SIZE = 1.0
WIDEST = 14.0
LIFT = 0.85
"""From a wire to the middle of a name above it."""

BESIDE, AWAY = 0.4, 1.0
THIN = 0.12
"""Half of what a wire takes."""

SHOWN = {PortForm.INPUT, PortForm.SHEET, PortForm.NAME}


def labels_of(
    section: Section,
    drawn: Iterable[Drawn],
    ports: Iterable[Port],
    wires: Iterable[Wire],
    room: Room,
) -> tuple[NetLabel, ...]:
    """Return the names that somebody wrote, each beside its net; takes their room."""
    copper = {wire.net: wire for wire in wires}
    joints = _joints(drawn)
    found = []
    for net in _unnamed(section, ports):
        spots = spots_of(copper.get(net), joints.get(net, ()))
        label = first_fit(net, spots, room)
        if label:
            room.take(label.box)
            found.append(label)
    return tuple(found)


def nameless(
    section: Section, ports: Iterable[Port], labels: Iterable[NetLabel]
) -> frozenset[str]:
    """Return the nets that somebody named and whose name stands nowhere."""
    return frozenset(_unnamed(section, ports)) - {label.net for label in labels}


def _unnamed(section: Section, ports: Iterable[Port]) -> Iterator[str]:
    """Yield the nets with a name that none of their ports tells."""
    shown = {
        port.net
        for port in ports
        if port.form in SHOWN
        or any(port.net in {text.text, text.full} for text in port.texts)
    }
    for net in section.pins:
        if net in section.named and net not in shown:
            yield net


def _joints(drawn: Iterable[Drawn]) -> dict[str, list[tuple[Point, Side]]]:
    found: dict[str, list[tuple[Point, Side]]] = {}
    for one in drawn:
        nets = dict(one.nets)
        for leg in one.legs:
            found.setdefault(nets[leg.pin], []).append((leg.at, leg.side))
    return found


Spot = tuple[Point, Anchor]


def spots_of(wire: Wire | None, joints: Iterable[tuple[Point, Side]]) -> Iterator[Spot]:
    """Yield where the name of a net may stand, the best first."""
    pieces = wire.segments if wire else ()
    flat = [(a, b) for a, b in pieces if a[1] == b[1]]
    for (x, y), (u, _) in sorted(flat, key=lambda one: one[0][0] - one[1][0]):
        yield from _along(x, u, y)
    for (x, y), (u, v) in pieces:
        if x == u:
            for step in range(round(v - y)):
                yield (x + BESIDE, y + step + 0.5), Anchor.START
                yield (x - BESIDE, y + step + 0.5), Anchor.END
    places = [at for at, _ in joints]
    for up in UPS:
        for x, y in places:
            yield (x + BESIDE, y + up), Anchor.START
            yield (x - BESIDE, y + up), Anchor.END
    for up in (*UPS, *FURTHER):
        for x, y in places:
            yield (x, y + up), Anchor.MIDDLE
            yield (x + AWAY, y + up), Anchor.START
            yield (x - AWAY, y + up), Anchor.END


UPS = (0.0, -0.2, 0.2, -0.4, 0.4, -0.6, 0.6, -LIFT, LIFT)
FURTHER = (1.2, -1.2, 1.5, -1.5, 1.9, -1.9, 2.4, -2.4, 3.0, -3.0)
"""How far over or under a pin a name may stand beside it; and where all is taken."""


def _along(x: float, u: float, y: float) -> Iterator[Spot]:
    for lift in (-LIFT, LIFT):
        for step in range(round(u - x) + 1):
            yield (x + step + BESIDE, y + lift), Anchor.START
            yield (u - step - BESIDE, y + lift), Anchor.END


def first_fit(
    net: str, spots: Iterable[Spot], room: Room, text: str = "", tone: Tone = Tone.FAINT
) -> NetLabel | None:
    """Return a text at the first of the spots that has room for it, or None."""
    told = text or net
    short = cut(told, WIDEST, SIZE)
    full = told if short != told else ""
    for at, anchor in spots:
        label = Text(at, short, SIZE, anchor=anchor, tone=tone, full=full)
        box = text_box(label)
        if room.free(box.grown(0.05)):
            return NetLabel(net, label, box)
    return None


def taken_boxes(
    drawn: Iterable[Drawn], ports: Iterable[Port], wires: Iterable[Wire]
) -> Iterator[Box]:
    """Yield everything on a sheet that no name may stand on."""
    for one in drawn:
        yield one.body
        yield from map(text_box, one.texts)
        for leg in one.legs:
            yield _lead_box(leg.at, leg.side, one.body)
    for port in ports:
        yield port.box
        yield around((Box(*port.at, *port.at), _middle(port.box))).grown(THIN)
    for wire in wires:
        for (x, y), (u, v) in wire.segments:
            yield Box(x, y, u, v).grown(THIN)
        for x, y in wire.dots:
            yield Box(x, y, x, y).grown(0.35)


def _middle(box: Box) -> Box:
    """Return the point in the middle of a box, as a box."""
    x, y = box.centre
    return Box(x, y, x, y)


def _lead_box(at: Point, side: Side, body: Box) -> Box:
    x, y = at
    edge = {
        Side.RIGHT: (body.right, y),
        Side.LEFT: (body.left, y),
        Side.UP: (x, body.top),
        Side.DOWN: (x, body.bottom),
    }[side]
    u, v = edge
    return Box(min(x, u), min(y, v), max(x, u), max(y, v)).grown(THIN)
