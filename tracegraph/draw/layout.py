"""One sheet laid out: cells placed, wires routed, names set; the best of some tries."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import ceil, floor
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.draw.assemble import cells_of
from tracegraph.draw.cell import Cell, moved, text_box
from tracegraph.draw.drawing import Drawn, Frame, Port, Wire
from tracegraph.draw.electric import levels, potentials
from tracegraph.draw.flags import flag_cells
from tracegraph.draw.items import Section
from tracegraph.draw.maze import WALL
from tracegraph.draw.orient import standings
from tracegraph.draw.place import Spacing, arrange
from tracegraph.draw.route import Terminals, route
from tracegraph.draw.shapes import Box, Grid, Side, Text, Tone, around
from tracegraph.draw.sorting import sorted_sides
from tracegraph.draw.symbols.sides import Sides
from tracegraph.draw.text import cut
from tracegraph.draw.wires import Edge, wire_of

MARGIN = 3
"""Units around everything, for wires that go round."""

TITLE = 3
"""Rows above everything, for the title."""

FRAME_NAME = 1.1
"""Size of a sister channel's name."""

ROW_GAP = 3
"""Between what stands in the row below, and above it."""


class Laid(NamedTuple):
    """Everything of a sheet but names and marks, in coordinates of its own.

    Attributes:
        drawn: The parts.
        ports: Rails, grounds, flags.
        wires: The copper.
        failed: Nets that found no way.
        size: Columns and rows.
        frames: Sister channels.
    """

    drawn: tuple[Drawn, ...]
    ports: tuple[Port, ...]
    wires: tuple[Wire, ...]
    failed: frozenset[str]
    size: Grid
    frames: tuple[Frame, ...] = ()


def arrangements(
    section: Section, tries: Iterable[tuple[Spacing, bool]]
) -> list[list[Cell]]:
    """Return the cells of a sheet where they stand, one list a try, none twice.

    Args:
        section: What is to be drawn.
        tries: Room between cells, and whether the pins of boxes go in the order of
            what they lead to.

    Raises:
        NoDotError: There is no graphviz on this machine.
        DotError: Graphviz failed.
    """
    found: list[list[Cell]] = []
    for spacing, sort in tries:
        placed, alone = _placed(section, spacing, NO_SIDES)
        sides = sorted_sides(section, placed) if sort else NO_SIDES
        if sides:
            placed, alone = _placed(section, spacing, sides)
        cells = _with_row(placed, alone)
        if cells not in found:
            found.append(cells)
    return found


NO_SIDES: Mapping[str, Sides] = MappingProxyType({})


def _placed(
    section: Section, spacing: Spacing, sides: Mapping[str, Sides]
) -> tuple[tuple[Cell, ...], list[Cell]]:
    """Return cells where they stand, and those without a wire, not placed yet."""
    ups, steps = potentials(section), levels(section)
    standing = standings(section, ups, steps, sides)
    cells = [*cells_of(section, standing), *flag_cells(section, steps)]
    wired = [cell for cell in cells if cell.ends]
    alone = [cell for cell in cells if not cell.ends]
    return arrange(_blocks(wired, spacing), spacing), alone


def _blocks(cells: Sequence[Cell], spacing: Spacing) -> list[Cell]:
    """Return the cells with those of each sister channel made into one."""
    groups: dict[str, list[Cell]] = {}
    for cell in cells:
        channels = {one.channel for one in cell.drawn}
        channel = channels.pop() if len(channels) == 1 else ""
        groups.setdefault(channel, []).append(cell)
    found = groups.pop("", [])
    for name, group in groups.items():
        found.append(_framed(name, _merged(arrange(group, spacing))))
    return found


def _framed(name: str, cell: Cell) -> Cell:
    """Return the cell of a sister channel with its frame, between the grid lines."""
    box = cell.box
    frame = Box(
        floor(box.left) - 1.5,
        floor(box.top) - 2.5,
        ceil(box.right) + 1.5,
        ceil(box.bottom) + 1.5,
    )
    told = cut(f"channel {name}", frame.right - frame.left - 2, FRAME_NAME)
    at = (frame.left + 0.7, frame.top + 0.9)
    text = Text(at, told, FRAME_NAME, bold=True, tone=Tone.FAINT)
    return cell._replace(frame=Frame(name, frame, text))


def _merged(cells: Sequence[Cell]) -> Cell:
    """Return cells as one that holds them fast."""
    ranks = [cell.rank for cell in cells]
    return Cell(
        tuple(one for cell in cells for one in cell.drawn),
        tuple(one for cell in cells for one in cell.ports),
        tuple(one for cell in cells for one in cell.ends),
        sum(ranks) / len(ranks),
    )


def _with_row(placed: Sequence[Cell], alone: Sequence[Cell]) -> list[Cell]:
    """Return the cells with what hangs between rails only in rows below."""
    if not alone:
        return list(placed)
    main = around(cell.box for cell in placed) if placed else Box(0, 0, 60, 0)
    widest = max(main.right - main.left, 40.0)
    found = list(placed)
    x, y, deep = main.left, main.bottom + ROW_GAP, 0.0
    for cell in alone:
        box = cell.box
        wide = box.right - box.left
        if x > main.left and x + wide > main.left + widest:
            x, y, deep = main.left, y + deep + ROW_GAP, 0.0
        found.append(moved(cell, (ceil(x - box.left), ceil(y - box.top))))
        x += wide + ROW_GAP
        deep = max(deep, box.bottom - box.top)
    return found


def wired(cells: Sequence[Cell], *, polish: bool) -> Laid:
    """Return a sheet with its cells wired.

    Args:
        cells: The cells where they stand.
        polish: Whether every wire is tried once more when all lie.
    """
    if not cells:
        return Laid((), (), (), frozenset(), (2 * MARGIN, 2 * MARGIN))
    whole = around(cell.box for cell in cells)
    by = MARGIN - floor(whole.left), MARGIN + TITLE - floor(whole.top)
    size = ceil(whole.right) + by[0] + MARGIN, ceil(whole.bottom) + by[1] + MARGIN
    cells = [moved(cell, by) for cell in cells]
    drawn = tuple(one for cell in cells for one in cell.drawn)
    ports = tuple(one for cell in cells for one in cell.ports)
    nets = list(dict.fromkeys(net for one in drawn for _, net in one.nets))
    nets += [port.net for port in ports]
    numbers = {net: number for number, net in enumerate(dict.fromkeys(nets))}
    wanted = _terminals(cells, numbers)
    frames = tuple(cell.frame for cell in cells if cell.frame)
    walls = [*walls_of(drawn, ports), *(text_box(one.text) for one in frames)]
    found = route(size, walls, leads_of(drawn, ports, numbers), wanted, polish=polish)
    names = {number: net for net, number in numbers.items()}
    wires = wires_of(drawn, ports, {names[k]: v for k, v in found.edges.items()})
    failed = frozenset(names[k] for k in found.failed)
    return Laid(drawn, ports, wires, failed, size, frames)


def _terminals(cells: Sequence[Cell], numbers: Mapping[str, int]) -> list[Terminals]:
    points: dict[str, list[Grid]] = {}
    for cell in cells:
        for end in cell.ends:
            points.setdefault(end.net, []).append(end.at)
    return [
        Terminals(numbers[net], tuple(dict.fromkeys(at)))
        for net, at in points.items()
        if len(set(at)) > 1
    ]


def walls_of(drawn: Iterable[Drawn], ports: Iterable[Port]) -> list[Box]:
    """Return what no wire may touch: bodies, texts, rails and flags."""
    found = []
    for one in drawn:
        found.append(_between_legs(one))
        found += [text_box(text).grown(0.15) for text in one.texts]
    found += [port.box.grown(0.15) for port in ports]
    return found


def _between_legs(one: Drawn) -> Box:
    """Return a body without the rows of its upper and lower pins: wires leave there."""
    tops = [leg.at[1] + EDGE for leg in one.legs if leg.side is Side.UP]
    feet = [leg.at[1] - EDGE for leg in one.legs if leg.side is Side.DOWN]
    top, bottom = max((one.body.top, *tops)), min((one.body.bottom, *feet))
    return one.body._replace(top=top, bottom=bottom) if top < bottom else one.body


EDGE = 0.1
"""How far inside the row of its pins a body begins."""


def leads_of(
    drawn: Iterable[Drawn], ports: Iterable[Port], numbers: Mapping[str, int]
) -> dict[Grid, int]:
    """Return the grid points that pins and leads hold, and for which net."""
    found: dict[Grid, int] = {}
    for port in ports:
        for point in _to_port(port):
            found[point] = WALL
    parts = tuple(drawn)
    for one in parts:
        for leg in one.legs:
            for point in _lead(leg.at, leg.side.opposite.step, one.body):
                found[point] = WALL
    for one in parts:
        nets = dict(one.nets)
        for leg in one.legs:
            found[leg.at] = numbers[nets[leg.pin]]
    return found


def _to_port(port: Port) -> Iterator[Grid]:
    """Yield the points of a port's lead between its pin and its sign."""
    x, y = port.at
    left, top, right, bottom = port.box
    across = (left > x) - (right < x)
    step = (across, 0) if across else (0, (top > y) - (bottom < y))
    if step != (0, 0):
        yield from _lead((round(x), round(y)), step, port.box)


def _lead(at: Grid, step: Grid, body: Box) -> Iterator[Grid]:
    x, y = at[0] + step[0], at[1] + step[1]
    for _ in range(60):
        if body.left <= x <= body.right and body.top <= y <= body.bottom:
            return
        yield x, y
        x, y = x + step[0], y + step[1]


def wires_of(
    drawn: Iterable[Drawn],
    ports: Iterable[Port],
    edges: Mapping[str, Iterable[Edge]],
    *,
    ghost: bool = False,
    others: Mapping[str, Iterable[Edge]] = MappingProxyType({}),
) -> tuple[Wire, ...]:
    """Return the wires of nets from their unit edges.

    Args:
        drawn: The parts.
        ports: Rails, grounds, flags.
        edges: The edges of each net.
        ghost: Whether they lead to a missing part.
        others: Edges of a net that are drawn already; they count at a branch.
    """
    meets: dict[str, list[Grid]] = {}
    for one in drawn:
        nets = dict(one.nets)
        for leg in one.legs:
            meets.setdefault(nets[leg.pin], []).append(leg.at)
    for port in ports:
        at = (round(port.at[0]), round(port.at[1]))
        meets.setdefault(port.net, []).append(at)
    for net, lying in others.items():
        meets.setdefault(net, []).extend(point for edge in lying for point in edge)
    return tuple(
        wire_of(net, tuple(found), meets.get(net, ()), ghost=ghost)
        for net, found in edges.items()
        if found
    )
