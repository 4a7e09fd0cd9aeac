"""Parts that are missing, put where there is room, without moving what is there."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil, floor
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.draw.assemble import cells_of
from tracegraph.draw.cell import Cell, moved, text_box
from tracegraph.draw.copper import edges_of, points_of
from tracegraph.draw.drawing import Drawn, Port, Wire
from tracegraph.draw.electric import levels, potentials
from tracegraph.draw.items import Item, Section
from tracegraph.draw.layout import Laid, leads_of, walls_of, wires_of
from tracegraph.draw.names import taken_boxes
from tracegraph.draw.orient import standings
from tracegraph.draw.overlay import Ghost
from tracegraph.draw.room import Room
from tracegraph.draw.route import Terminals, route
from tracegraph.draw.shapes import Box, Grid, Tone
from tracegraph.draw.wires import Edge

REACH = 30
"""How far from where it belongs a missing part may stand, in units."""

APART = 0.8
"""Room around a missing part."""

TRIES = 40
"""How many free places are tried before its nets are joined by name."""


class Haunted(NamedTuple):
    """A sheet with its missing parts.

    Attributes:
        laid: The sheet as it is without them, only larger if it has to be.
        drawn: The missing parts.
        ports: Their rails and grounds.
        wires: What leads to them.
    """

    laid: Laid
    drawn: tuple[Drawn, ...] = ()
    ports: tuple[Port, ...] = ()
    wires: tuple[Wire, ...] = ()


def with_ghosts(
    section: Section, laid: Laid, ghosts: Sequence[Ghost], labels: Iterable[Box]
) -> Haunted:
    """Return a sheet with missing parts; nothing of the sheet itself moves.

    Args:
        section: What stands on the sheet.
        laid: The sheet.
        ghosts: Parts that touch a net of this sheet.
        labels: What the names of nets cover.
    """
    found = Haunted(laid)
    taken = tuple(labels)
    for ghost in ghosts:
        found = _with_one(section, found, ghost, taken)
    return found


def _with_one(
    section: Section, sheet: Haunted, ghost: Ghost, taken: tuple[Box, ...]
) -> Haunted:
    cell = _cell(section, ghost)
    everything = _everything(sheet)
    for at in _places(cell, everything, taken):
        stood = moved(cell, at)
        wires = _wires(stood, everything, taken)
        if wires is not None:
            return _added(sheet, stood, wires)
    return _below(section, sheet, ghost)


def _cell(section: Section, ghost: Ghost, named: frozenset[str] = frozenset()) -> Cell:
    """Return the cell of a missing part as it would stand in the section."""
    refs = {item.ref for item in section.items}
    ref = (
        ghost.part.ref if ghost.part.ref not in refs else f"{ghost.part.ref} (missing)"
    )
    item = Item(replace(ghost.part, ref=ref), "ghost")
    by_name = section.by_name | named
    whole = Section(section.stage, (*section.items, item), section.beyond, by_name)
    standing = standings(whole, potentials(whole), levels(whole), MappingProxyType({}))
    (cell,) = cells_of(whole, [one for one in standing if one.item.ref == ref])
    return cell._replace(ports=tuple(map(_faded, cell.ports)))


def _faded(port: Port) -> Port:
    """Return a rail or ground as that of a missing part."""
    return port._replace(
        ghost=True,
        shapes=tuple(one._replace(tone=Tone.ABSENT) for one in port.shapes),
        texts=tuple(one._replace(tone=Tone.ABSENT) for one in port.texts),
    )


def _everything(sheet: Haunted) -> Laid:
    laid = sheet.laid
    return laid._replace(
        drawn=(*laid.drawn, *sheet.drawn),
        ports=(*laid.ports, *sheet.ports),
        wires=(*laid.wires, *sheet.wires),
    )


def _places(cell: Cell, laid: Laid, taken: Iterable[Box]) -> Iterator[Grid]:
    """Yield free places for a cell, those nearest to its nets first."""
    width, height = laid.size
    room = Room(
        (*taken_boxes(laid.drawn, laid.ports, laid.wires), *taken),
        Box(1, 4, width - 1, height - 1),
    )
    targets = [
        (end.at, points)
        for end in cell.ends
        if (points := points_of(laid.drawn, laid.wires, end.net))
    ]
    box = cell.box.grown(APART)
    spots = [
        (_far(targets, (x, y)), x, y)
        for x in range(1 - floor(box.left), width - ceil(box.right))
        for y in range(4 - floor(box.top), height - ceil(box.bottom))
        if room.free(box.moved((x, y)))
    ]
    for far, x, y in sorted(spots)[:TRIES]:
        if far <= REACH * max(len(targets), 1):
            yield x, y


def _far(targets: Iterable[tuple[Grid, Sequence[Grid]]], by: Grid) -> int:
    return sum(
        min(abs(x - at[0] - by[0]) + abs(y - at[1] - by[1]) for x, y in points)
        for at, points in targets
    )


def _wires(cell: Cell, laid: Laid, taken: Iterable[Box]) -> tuple[Wire, ...] | None:
    """Return what joins a missing part to the sheet, or None where there is no way."""
    drawn, ports = (*laid.drawn, *cell.drawn), (*laid.ports, *cell.ports)
    nets = dict.fromkeys(net for one in drawn for _, net in one.nets)
    nets.update(dict.fromkeys(port.net for port in ports))
    numbers = {net: number for number, net in enumerate(nets)}
    earlier: dict[int, frozenset[Edge]] = {}
    for wire in laid.wires:
        number = numbers[wire.net]
        earlier[number] = earlier.get(number, frozenset()) | frozenset(edges_of(wire))
    wanted = _terminals(cell, laid, numbers)
    walls = [*walls_of(drawn, ports), *taken, *_frame_names(laid)]
    leads = leads_of(drawn, ports, numbers)
    found = route(laid.size, walls, leads, wanted, earlier)
    if found.failed:
        return None
    names = {number: net for net, number in numbers.items()}
    fresh = {names[k]: edges for k, edges in found.edges.items()}
    old = {names[k]: edges for k, edges in earlier.items()}
    return wires_of(drawn, ports, fresh, ghost=True, others=old)


def _frame_names(laid: Laid) -> Iterator[Box]:
    return (text_box(frame.text) for frame in laid.frames)


def _terminals(cell: Cell, laid: Laid, numbers: Mapping[str, int]) -> list[Terminals]:
    ends: dict[str, list[Grid]] = {}
    for end in cell.ends:
        ends.setdefault(end.net, []).append(end.at)
    found = []
    for net, places in ends.items():
        points = points_of(laid.drawn, laid.wires, net)
        x, y = places[0]
        near = sorted(points, key=lambda one: (abs(one[0] - x) + abs(one[1] - y), one))
        # A net of the missing part alone has no copper here to lead to.
        found.append(Terminals(numbers[net], (*near[:1], *places)))
    return found


def _added(sheet: Haunted, cell: Cell, wires: Iterable[Wire]) -> Haunted:
    return Haunted(
        sheet.laid,
        (*sheet.drawn, *cell.drawn),
        (*sheet.ports, *cell.ports),
        (*sheet.wires, *wires),
    )


def _below(section: Section, sheet: Haunted, ghost: Ghost) -> Haunted:
    """Return the sheet longer by a row, the part in it and its nets joined by name."""
    cell = _cell(section, ghost, frozenset(ghost.part.pins.values()))
    width, height = sheet.laid.size
    box = cell.box
    at = ceil(2 - box.left), ceil(height - box.top)
    size = (
        max(width, ceil(box.right) + at[0] + 2),
        height + ceil(box.bottom - box.top) + 2,
    )
    longer = sheet._replace(laid=sheet.laid._replace(size=size))
    return _added(longer, moved(cell, at), ())
