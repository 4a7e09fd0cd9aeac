"""Cells put on the sheet: graphviz says where, signal from left to right."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import ceil, floor
from typing import NamedTuple

from tracegraph.draw.cell import Cell, End, moved
from tracegraph.draw.dot import placed
from tracegraph.draw.shapes import Box, Grid, Side
from tracegraph.draw.straight import Tie, shifts

ABREAST = 0.3
"""Cells that give on the same net, no further apart along the signal, are abreast."""

POINTS = 10
"""Points of graphviz to a grid unit."""

STRAIGHT, PLAIN = 8, 2
"""Weights of an edge whose two ends face each other, and of any other."""


class Spacing(NamedTuple):
    """Room between cells, in units.

    Attributes:
        along: From column to column, where wires run up and down.
        across: From cell to cell in a column.
    """

    along: int = 4
    across: int = 2


class Spoke(NamedTuple):
    """An end of a net together with the cell it belongs to."""

    cell: int
    end: End


def arrange(cells: Sequence[Cell], spacing: Spacing) -> tuple[Cell, ...]:
    """Return the cells moved to where they stand, all coordinates whole units.

    Raises:
        NoDotError: There is no graphviz on this machine.
        DotError: Graphviz failed.
    """
    if len(cells) < 2:
        return tuple(cells)
    frames = [_frame(cell) for cell in cells]
    edges = list(_all_edges(cells))
    answer = placed(_source(frames, edges, spacing))
    corners = _corners(answer, frames)
    steps = [
        (x - round(box.left + 0.5), y - round(box.top + 0.5))
        for box, (x, y) in zip(frames, corners, strict=True)
    ]
    down = shifts(
        [box.moved(step).grown(0.4) for box, step in zip(frames, steps, strict=True)],
        [_tie(steps, edge) for edge in edges if edge[2]],
    )
    return tuple(
        moved(cell, (x, y + more))
        for cell, (x, y), more in zip(cells, steps, down, strict=True)
    )


def _tie(steps: Sequence[Grid], edge: "Pair") -> Tie:
    """Return a wire as what should run straight."""
    tail, head, weight = edge
    leaving = tail.end.at[1] + steps[tail.cell][1]
    arriving = head.end.at[1] + steps[head.cell][1]
    return Tie(tail.cell, head.cell, leaving - arriving, weight)


def _frame(cell: Cell) -> Box:
    """Return a cell's box, grown to half units, so that grid lines are row middles."""
    box = cell.box
    return Box(
        floor(box.left) - 0.5,
        floor(box.top) - 0.5,
        ceil(box.right) + 0.5,
        ceil(box.bottom) + 0.5,
    )


def _all_edges(cells: Sequence[Cell]) -> Iterator["Pair"]:
    """Yield the edges of all nets, each once."""
    every = (edge for spokes in _nets(cells).values() for edge in _edges(cells, spokes))
    yield from dict.fromkeys(every)


def _source(frames: Sequence[Box], edges: Sequence["Pair"], spacing: Spacing) -> str:
    lines = (
        "digraph {",
        f"rankdir=LR; ranksep={spacing.along * POINTS / 72:.4f};",
        f"nodesep={spacing.across * POINTS / 72:.4f};",
        "node [shape=plain]; edge [arrowhead=none];",
        *(_node(number, box) for number, box in enumerate(frames)),
        *(_edge(frames, *edge) for edge in edges),
        "}",
    )
    return "\n".join(lines)


def _node(number: int, box: Box) -> str:
    wide = round((box.right - box.left) * POINTS)
    rows = "".join(
        f'<TR><TD PORT="r{row}" FIXEDSIZE="TRUE" WIDTH="{wide}" HEIGHT="{POINTS}">'
        "</TD></TR>"
        for row in range(round(box.bottom - box.top))
    )
    table = '<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">'
    return f"n{number} [label=<{table}{rows}</TABLE>>];"


def _nets(cells: Sequence[Cell]) -> Mapping[str, list[Spoke]]:
    """Return the ends of every net that joins two cells or more."""
    found: dict[str, list[Spoke]] = {}
    for number, cell in enumerate(cells):
        for end in cell.ends:
            found.setdefault(end.net, []).append(Spoke(number, end))
    return {
        net: spokes
        for net, spokes in found.items()
        if len({spoke.cell for spoke in spokes}) > 1
    }


Pair = tuple[Spoke, Spoke, int]


def _edges(cells: Sequence[Cell], spokes: Sequence[Spoke]) -> Iterator[Pair]:
    """Yield a spine along a net: what gives first, what it passes, what takes last."""
    order = sorted(
        dict.fromkeys(spoke.cell for spoke in spokes),
        key=lambda number: (cells[number].rank, number),
    )
    own = {
        number: [spoke for spoke in spokes if spoke.cell == number] for number in order
    }
    tails = [order[0]]
    for head in order[1:]:
        beside = cells[head].rank - cells[tails[0]].rank < ABREAST
        gives = any(spoke.end.gives for spoke in own[head])
        if beside and gives and not cells[head].passes:
            tails.append(head)
            continue
        for tail in tails:
            leaving, arriving = _rightmost(own[tail]), _leftmost(own[head])
            facing = _faces(leaving.end, Side.LEFT) and _faces(arriving.end, Side.RIGHT)
            yield leaving, arriving, STRAIGHT if facing else PLAIN
        if cells[head].passes or gives:
            tails = [head]
    for one in tails[1:]:
        if tails[0] == order[0] or len(order) == len(tails):
            yield _rightmost(own[tails[0]]), _rightmost(own[one]), 0


def _faces(end: End, away: Side) -> bool:
    """Return whether an end does not leave the wrong way."""
    return end.side is not away


def _rightmost(spokes: Iterable[Spoke]) -> Spoke:
    return max(spokes, key=lambda one: (one.end.side is not Side.LEFT, one.end.at[0]))


def _leftmost(spokes: Iterable[Spoke]) -> Spoke:
    return min(spokes, key=lambda one: (one.end.side is Side.RIGHT, one.end.at[0]))


def _edge(frames: Sequence[Box], tail: Spoke, head: Spoke, weight: int) -> str:
    ends = f"{_port(frames, tail)}:e -> {_port(frames, head)}:w"
    pull = f"weight={weight}" if weight else "constraint=false"
    return f"{ends} [{pull}];"


def _port(frames: Sequence[Box], spoke: Spoke) -> str:
    row = round(spoke.end.at[1] - frames[spoke.cell].top - 0.5)
    return f"n{spoke.cell}:r{row}"


def _corners(answer: Mapping[str, object], frames: Sequence[Box]) -> list[Grid]:
    """Return where the first grid point of each cell's frame comes to lie."""
    nodes = {str(one["name"]): one for one in _objects(answer)}
    found = []
    for number, box in enumerate(frames):
        x, y = (float(part) for part in str(nodes[f"n{number}"]["pos"]).split(","))
        left = x / POINTS - (box.right - box.left) / 2
        top = -y / POINTS - (box.bottom - box.top) / 2
        found.append((floor(left + 0.51), floor(top + 0.51)))
    return found


def _objects(answer: Mapping[str, object]) -> Iterator[Mapping[str, object]]:
    objects = answer["objects"]
    assert isinstance(objects, list)
    for one in objects:
        assert isinstance(one, dict)
        yield one
