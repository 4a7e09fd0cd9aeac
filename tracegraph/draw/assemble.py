"""Cells made of standing items: stacks on one axis, rows on one line, boxes alone."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from tracegraph.draw.cell import Cell, End
from tracegraph.draw.drawing import Drawn
from tracegraph.draw.dress import along_drawn, box_drawn, ports_of, upright_drawn
from tracegraph.draw.electric import CONTROLS, goes_in, role_of
from tracegraph.draw.items import Section
from tracegraph.draw.orient import MAINS, Stance, Standing
from tracegraph.draw.shapes import Grid, Side


def cells_of(section: Section, standing: Sequence[Standing]) -> tuple[Cell, ...]:
    """Return the cells of a section, in the order of their first items."""
    tall = (Stance.UPRIGHT, Stance.ACROSS)
    upright = [one for one in standing if one.stance in tall]
    along = [one for one in standing if one.stance is Stance.ALONG]
    stacks = _chained(upright, _stackings(section, upright))
    rows = _chained(along, _rowings(section, along))
    found = [
        *(_stack(section, stack) for stack in stacks),
        *(_row(section, row) for row in rows),
        *(_box(section, one) for one in standing if one.stance is Stance.BOX),
    ]
    order = {item.ref: number for number, item in enumerate(section.items)}
    return tuple(sorted(found, key=lambda cell: order[cell.drawn[0].ref]))


def _chained(
    items: Sequence[Standing], pairs: Iterable[tuple[int, int]]
) -> list[list[Standing]]:
    """Return items joined end to end as the pairs say, each once, no ring."""
    after: dict[int, int] = {}
    before: dict[int, int] = {}
    for one, two in pairs:
        if one in after or two in before or _end(after, two) == one:
            continue
        after[one], before[two] = two, one
    found = []
    for start in range(len(items)):
        if start not in before:
            chain = [start]
            while chain[-1] in after:
                chain.append(after[chain[-1]])
            found.append([items[index] for index in chain])
    return found


def _end(after: Mapping[int, int], start: int) -> int:
    while start in after:
        start = after[start]
    return start


def _stackings(
    section: Section, upright: Sequence[Standing]
) -> Iterator[tuple[int, int]]:
    """Yield which item stands on which, the most alike first."""
    wanted = [
        (-_liking(section, upper, lower), k, m)
        for k, upper in enumerate(upright)
        for m, lower in enumerate(upright)
        if k != m and _may_stand(section, upper, lower)
    ]
    for _, k, m in sorted(wanted):
        yield k, m


def _may_stand(section: Section, upper: Standing, lower: Standing) -> bool:
    return (
        upper.foot == lower.top
        and upper.foot not in section.hubs
        and (upper.stance is not Stance.ACROSS or lower.stance is Stance.ACROSS)
        and upper.item.part.channel == lower.item.part.channel
    )


def _liking(section: Section, upper: Standing, lower: Standing) -> float:
    """Return how well one stands on the other: two switches, two of a kind, a load."""
    switches = len(upper.item.nets) + len(lower.item.nets)
    if switches == 6:
        return 4.0
    if upper.item.part.kind.symbol == lower.item.part.kind.symbol:
        return 3.0
    alone = len(section.pins[upper.foot]) == 2
    return 2.0 + alone + (0.5 if switches == 5 else 0.0)


def _rowings(section: Section, along: Sequence[Standing]) -> Iterator[tuple[int, int]]:
    """Yield which item follows which on a line: only where nothing else joins."""
    for k, left in enumerate(along):
        for m, right in enumerate(along):
            alone = len(section.pins[left.foot]) == 2
            follows = k != m and left.foot == right.top
            if follows and alone and _plain(section, left.foot):
                yield k, m


def _plain(section: Section, net: str) -> bool:
    return net not in section.ended


def _stack(section: Section, stack: Sequence[Standing]) -> Cell:
    drawn: list[Drawn] = []
    ends: list[End] = []
    y = 0
    for place, one in enumerate(stack):
        drawn.append(upright_drawn(one, (0, y)))
        below = stack[place + 1] if place + 1 < len(stack) else None
        if place == 0:
            ends += _end_at(section, one, one.first, (0, y), Side.UP)
        ends += _side_ends(section, one, drawn[-1])
        y += one.reach
        if below is None:
            ends += _end_at(section, one, one.last, (0, y), Side.DOWN)
        elif len(section.pins[one.foot]) > 2 or not _plain(section, one.foot):
            switch = len(one.item.nets) > 2 or len(below.item.nets) > 2
            ends.append(End(one.foot, (0, y), Side.RIGHT, gives=switch))
    bare = frozenset(one.foot for one in stack[:-1])
    ports = ports_of(section, drawn, bare)
    passes = all(len(one.item.nets) == 2 for one in stack)
    switched = [one.rank for one in stack if len(one.item.nets) > 2]
    ranks = switched or [one.rank for one in stack]
    return Cell(tuple(drawn), ports, tuple(ends), sum(ranks) / len(ranks), passes)


def _end_at(
    section: Section, one: Standing, pin: str, at: Grid, side: Side
) -> Iterator[End]:
    net = one.item.nets[pin]
    if _wired(section, net):
        gives = len(one.item.nets) > 2 and role_of(one.item, pin) in MAINS
        yield End(net, at, side, gives)


def _wired(section: Section, net: str) -> bool:
    """Return whether a net has a wire: more than one pin of it is here."""
    return len(section.pins.get(net, ())) > 1


def _side_ends(section: Section, one: Standing, drawn: Drawn) -> Iterator[End]:
    for leg in drawn.legs:
        net = one.item.nets[leg.pin]
        if leg.pin not in {one.first, one.last} and _wired(section, net):
            control = role_of(one.item, leg.pin) in CONTROLS
            yield End(net, leg.at, leg.side, gives=not control)


def _row(section: Section, row: Sequence[Standing]) -> Cell:
    drawn: list[Drawn] = []
    ends: list[End] = []
    x = 0
    for place, one in enumerate(row):
        joints = (one.foot,) if place + 1 < len(row) else ()
        joints = (*joints, one.top) if place else joints
        names = [net for net in joints if net in section.named]
        drawn.append(along_drawn(one, x, names))
        if place == 0:
            ends += _row_end(section, one.top, (x, 0), Side.LEFT)
        x = max(leg.at[0] for leg in drawn[-1].legs)
        if place + 1 == len(row):
            ends += _row_end(section, one.foot, (x, 0), Side.RIGHT)
    rank = sum(one.rank for one in row) / len(row)
    bare = frozenset(one.foot for one in row[:-1])
    return Cell(tuple(drawn), ports_of(section, drawn, bare), tuple(ends), rank)


def _row_end(section: Section, net: str, at: Grid, side: Side) -> Iterator[End]:
    if _wired(section, net):
        yield End(net, at, side, gives=side is Side.RIGHT)


def _box(section: Section, one: Standing) -> Cell:
    drawn = box_drawn(one)
    ends = tuple(
        End(net, leg.at, leg.side, gives=not goes_in(one.item, leg.pin))
        for leg in drawn.legs
        for net in (one.item.nets[leg.pin],)
        if _wired(section, net)
    )
    return Cell((drawn,), ports_of(section, [drawn], frozenset()), ends, one.rank)
