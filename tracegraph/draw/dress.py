"""An item put on paper: its symbol where it stands, its texts, its rails and grounds."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from math import ceil

from tracegraph.draw.cell import moved_port, text_box
from tracegraph.draw.drawing import Drawn, Port, PortForm
from tracegraph.draw.ends import Ending, endings
from tracegraph.draw.items import Item, Section
from tracegraph.draw.orient import Standing
from tracegraph.draw.shapes import (
    Anchor,
    Box,
    Grid,
    Point,
    Pose,
    Side,
    Stroke,
    Text,
    Tone,
    around,
)
from tracegraph.draw.symbol import Leg, Symbol, stand
from tracegraph.draw.symbols import ports as signs
from tracegraph.draw.symbols.dress import dressed
from tracegraph.draw.text import cut, width
from tracegraph.draw.words import designator, in_words, value

LARGE, SMALL = 1.2, 1.1
"""Sizes of a designator and of a value."""

LINE = 1.3
"""From line to line."""

WIDEST = 16.0
GAP = 0.7
"""From a body to its text."""


def upright_drawn(one: Standing, at: Grid) -> Drawn:
    """Return an item that stands upright, its upper pin at a point."""
    symbol = stand(one.symbol, Pose(), at)
    reach = next(leg.at[1] for leg in symbol.legs if leg.pin == one.last)
    middle = (at[1] + reach) / 2
    controls_right = any(leg.side is Side.RIGHT for leg in symbol.legs)
    if controls_right:
        place, anchor = (symbol.body.left - GAP, middle), Anchor.END
    else:
        place, anchor = (symbol.body.right + GAP, middle), Anchor.START
    return _drawn(one.item, symbol, _two_lines(one.item, place, anchor))


def along_drawn(one: Standing, x: int, names: Iterable[str] = ()) -> Drawn:
    """Return an item that lies in a row from `x` on, as long as its texts ask for.

    Args:
        one: The item.
        x: Where it begins.
        names: Names of nets that shall stand over its leads.
    """
    wide = max((text_box(text).right for text in _lines(one.item)), default=0.0)
    named = max((min(width(net, SMALL), WIDEST) for net in names), default=0.0)
    length = max(one.reach + ceil(named), ceil(wide + 0.8))
    length += (length - one.reach) % 2
    symbol = stand(_stretched(one.symbol, length), Pose(), (x, 0))
    top = symbol.body.top - 0.75 - LINE * (len(_lines(one.item)) - 1) / 2
    place = (x + length / 2, top)
    return _drawn(one.item, symbol, _two_lines(one.item, place, Anchor.MIDDLE))


def _stretched(symbol: Symbol, length: int) -> Symbol:
    """Return a lying symbol with longer leads."""
    first, last = sorted(symbol.legs, key=lambda leg: leg.at[0])
    more = (length - last.at[0]) // 2
    if not more:
        return symbol
    inner = stand(symbol, Pose(), (more, 0))
    leads = (
        Stroke(((0, 0), (more, 0))),
        Stroke(((length - more, 0), (length, 0))),
    )
    legs = (first, Leg(last.pin, (length, 0), last.side))
    return inner._replace(shapes=(*inner.shapes, *leads), legs=legs)


def box_drawn(one: Standing) -> Drawn:
    """Return an item that stands by itself."""
    symbol, item = one.symbol, one.item
    if symbol.room:
        wide = symbol.room.right - symbol.room.left
        texts = _two_lines(item, symbol.room.centre, Anchor.MIDDLE, wide)
        return _drawn(item, symbol, texts)
    lift = 0.75 + LINE * (len(_lines(item)) - 1) / 2
    (x, y), body = symbol.body.centre, symbol.body
    sides = {leg.side for leg in symbol.legs}
    if Side.UP not in sides:
        place, anchor = (x, body.top - lift), Anchor.MIDDLE
    elif Side.RIGHT not in sides:
        place, anchor = (body.right + GAP, y), Anchor.START
    elif Side.LEFT not in sides:
        place, anchor = (body.left - GAP, y), Anchor.END
    else:
        place, anchor = (_beside_ports(one), body.top - lift), Anchor.START
    return _drawn(item, symbol, _two_lines(item, place, anchor))


def _beside_ports(one: Standing) -> float:
    """Return where a text may begin that stands beside what hangs on upper pins."""
    return max(
        leg.at[0] + max(1.2, width(one.item.nets[leg.pin], LARGE, bold=True) / 2 + 1)
        for leg in one.symbol.legs
        if leg.side is Side.UP
    )


def _lines(item: Item, widest: float = WIDEST) -> tuple[Text, ...]:
    """Return designator and value at the origin."""
    name, under = designator(item), value(item.part)
    faint = item.status not in {"fitted", "absent", "removed", "ghost"}
    lines = []
    if name:
        short = cut(name, widest, LARGE, bold=not faint)
        full = name if short != name else ""
        tone = Tone.FAINT if faint else Tone.INK
        lines.append(Text((0, 0), short, LARGE, not faint, tone=tone, full=full))
    if under:
        short = cut(under, widest, SMALL)
        full = under if short != under else ""
        lines.append(Text((0, 0), short, SMALL, tone=Tone.FAINT, full=full))
    return tuple(lines)


def _two_lines(
    item: Item, middle: Point, anchor: Anchor, widest: float = WIDEST
) -> tuple[Text, ...]:
    """Return designator and value one under the other around a point."""
    lines = _lines(item, widest)
    x, y = middle
    start = y - LINE * (len(lines) - 1) / 2
    return tuple(
        text._replace(
            at=(x, start + LINE * row), anchor=anchor, tone=_toned(item, text)
        )
        for row, text in enumerate(lines)
    )


def _toned(item: Item, text: Text) -> Tone:
    gone = item.status in {"absent", "removed", "ghost"}
    return Tone.ABSENT if gone else text.tone


def _drawn(item: Item, symbol: Symbol, texts: tuple[Text, ...]) -> Drawn:
    if item.status in {"absent", "removed", "ghost"}:
        symbol = dressed(symbol, Tone.ABSENT, dashed=True)
    elif item.status == "rest" or (item.status == "link" and item.part.note):
        symbol = dressed(symbol, Tone.FAINT, dashed=True)
    elif item.status == "bridge":
        symbol = dressed(symbol, Tone.BRIDGED, dashed=False)
    shapes = tuple(one for one in symbol.shapes if not isinstance(one, Text))
    inner = tuple(one for one in symbol.shapes if isinstance(one, Text))
    return Drawn(
        item.ref,
        item.part.kind.word,
        in_words(item),
        tuple(item.nets.items()),
        symbol.legs,
        shapes,
        (*texts, *inner),
        symbol.body,
        item.status,
        item.part.channel,
    )


def ports_of(
    section: Section, drawn: Sequence[Drawn], bare: frozenset[str]
) -> tuple[Port, ...]:
    """Return the rails, grounds and ends that stand at the pins of parts.

    Args:
        section: What is to be drawn.
        drawn: The parts.
        bare: Nets inside a stack or row, which want nothing.
    """
    wanted = [
        (port, leg.side)
        for one in drawn
        for leg in one.legs
        for port in _port(section, one, leg, dict(one.nets)[leg.pin])
        if port.net not in bare
    ]
    # Narrow ones first: the lead of a wide one passes between them.
    order = sorted(range(len(wanted)), key=lambda k: _across(*wanted[k]))
    found: dict[int, Port] = {}
    for k in order:
        found[k] = _clear(*wanted[k], found.values())
    return tuple(found[k] for k in range(len(wanted)))


def _across(port: Port, side: Side) -> float:
    """Return how wide a port is across its lead."""
    box = port.box
    upright = side in {Side.UP, Side.DOWN}
    return box.right - box.left if upright else box.bottom - box.top


def _clear(port: Port, side: Side, others: Collection[Port]) -> Port:
    """Return a port on a lead long enough to keep clear of its neighbours."""
    x, y = port.at
    for longer in range(LONGEST):
        by = side.step[0] * longer, side.step[1] * longer
        if not any(other.box.meets(port.box.moved(by)) for other in others):
            break
    else:
        return port
    if not longer:
        return port
    lead = Stroke((port.at, (x + by[0], y + by[1])))
    moved = moved_port(port, by)
    return moved._replace(at=port.at, shapes=(lead, *moved.shapes))


LONGEST = 12
"""Up to how much longer a lead may get."""


def _port(section: Section, one: Drawn, leg: Leg, net: str) -> Iterator[Port]:
    if net in section.hubs:
        yield hub_port(section, net, leg.at, leg.side)
        return
    if len(section.pins[net]) > 1:
        return
    part = section.stage.part(one.ref)
    if part and leg.pin in part.untraced:
        why = f"{one.ref}.{leg.pin}: not traced further"
        told = net if net in section.named else ""
        yield end_port(Ending(PortForm.UNTRACED, why, told), net, leg.at, leg.side)
    elif net in section.ended:
        ending = next(endings(section, net))
        yield end_port(ending, net, leg.at, leg.side)
    elif net in section.named:
        why = f"net {net}: only this pin is traced"
        yield end_port(Ending(PortForm.NAME, why, net), net, leg.at, leg.side)


def hub_port(section: Section, net: str, at: Grid, side: Side) -> Port:
    """Return the small symbol of a rail or ground."""
    grounds = [ground.net for ground in section.stage.grounds]
    if net in grounds:
        several = len(grounds) > 1
        shapes, texts, box = signs.ground(
            at, side, grounds.index(net), net, named=several
        )
        return Port(net, PortForm.GROUND, at, shapes, texts, f"ground {net}", box)
    rail = next((rail for rail in section.stage.rails if rail.net == net), None)
    if rail is None:
        why = f"net {net}, joined by its name"
        return end_port(Ending(PortForm.NAME, why, net), net, at, side)
    volts = rail.volts.typical
    shapes, texts, box = signs.rail(at, side, net)
    told = f"rail {net}" + (f", {volts:g} V when powered" if volts is not None else "")
    return Port(net, PortForm.RAIL, at, shapes, texts, told, box)


def end_port(ending: Ending, net: str, at: Grid, side: Side) -> Port:
    """Return the symbol of an end: a flag with a name, or a stub.

    Args:
        ending: Why it stands there.
        net: The net.
        at: Where it meets the wire.
        side: The way that it goes from there.
    """
    form, why, told = ending
    if form in {PortForm.UNTRACED, PortForm.UNPLUGGED}:
        sign = signs.stub if form is PortForm.UNTRACED else signs.unplugged
        shapes, texts, box = sign(at, side)
        beyond = _beyond(told, box, side)
        texts = (*texts, *beyond)
        box = around((box, *map(text_box, beyond)))
    else:
        points_in = form is PortForm.INPUT
        shapes, texts, box = signs.flag(at, side, told, points_in=points_in)
    return Port(net, form, at, shapes, texts, why, box)


def _beyond(told: str, box: Box, side: Side) -> tuple[Text, ...]:
    """Return a name beyond an open end, none where there is none to tell."""
    if not told:
        return ()
    short = cut(told, WIDEST, SMALL)
    full = told if short != told else ""
    text = Text((0, 0), short, SMALL, tone=Tone.FAINT, full=full)
    (x, y), away = box.centre, SMALL * 0.7
    at, anchor = {
        Side.RIGHT: ((box.right + 0.3, y), Anchor.START),
        Side.LEFT: ((box.left - 0.3, y), Anchor.END),
        Side.UP: ((x, box.top - away), Anchor.MIDDLE),
        Side.DOWN: ((x, box.bottom + away), Anchor.MIDDLE),
    }[side]
    return (text._replace(at=at, anchor=anchor),)
