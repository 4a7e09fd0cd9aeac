"""Pins of a box in the order of what they lead to, so that wires need not cross."""

from collections.abc import Mapping, Sequence

from tracegraph.draw.cell import Cell
from tracegraph.draw.drawing import Drawn
from tracegraph.draw.items import Section
from tracegraph.draw.shapes import Side
from tracegraph.draw.symbols.sides import Sides

SORTED = "box"
"""The symbol whose pins have no fixed place."""


def sorted_sides(section: Section, cells: Sequence[Cell]) -> Mapping[str, Sides]:
    """Return for every box whose pins want another order which one.

    Args:
        section: What is drawn.
        cells: The cells where they stand with the usual order.
    """
    reach: dict[str, list[tuple[str, int]]] = {}
    for cell in cells:
        own = cell.drawn[0].ref if len(cell.drawn) == 1 else ""
        for end in cell.ends:
            reach.setdefault(end.net, []).append((own, end.at[1]))
    symbols = {item.ref: item.part.kind.symbol for item in section.items}
    found = {}
    for cell in cells:
        for one in cell.drawn:
            if symbols.get(one.ref) == SORTED:
                usual, wanted = _sides(one), _wanted(one, reach)
                if usual != wanted:
                    found[one.ref] = wanted
    return found


def _sides(one: Drawn) -> Sides:
    def along(side: Side, axis: int) -> tuple[str, ...]:
        legs = sorted((leg.at[axis], leg.pin) for leg in one.legs if leg.side is side)
        return tuple(pin for _, pin in legs)

    return Sides(
        along(Side.LEFT, 1),
        along(Side.RIGHT, 1),
        along(Side.UP, 0),
        along(Side.DOWN, 0),
    )


def _wanted(one: Drawn, reach: Mapping[str, Sequence[tuple[str, int]]]) -> Sides:
    """Return the pins of both sides sorted by the mean height of what they join."""
    nets = dict(one.nets)
    own = {leg.pin: leg.at[1] for leg in one.legs}

    def height(pin: str) -> tuple[float, int]:
        rows = [row for ref, row in reach.get(nets[pin], ()) if ref != one.ref]
        return (sum(rows) / len(rows) if rows else float(own[pin])), own[pin]

    usual = _sides(one)
    return usual._replace(
        left=tuple(sorted(usual.left, key=height)),
        right=tuple(sorted(usual.right, key=height)),
    )
