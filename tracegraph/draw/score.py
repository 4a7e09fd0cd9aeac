"""How good a layout is: crossings, bends, length and area in one figure."""

from collections.abc import Sequence
from typing import NamedTuple

from tracegraph.draw.drawing import Wire
from tracegraph.draw.shapes import Grid, Point

CROSSING, BEND, LENGTH, AREA = 12.0, 2.0, 0.1, 0.004
"""What each costs; a crossing is as bad as six bends or twelve hundred square cells."""


class Score(NamedTuple):
    """The figures of a layout.

    Attributes:
        crossings: Places where wires of two nets cross.
        bends: Corners of wires.
        length: Units of wire.
        area: Square units of the sheet.
    """

    crossings: int
    bends: int
    length: float
    area: float

    @property
    def worth(self) -> float:
        """All in one; less is better."""
        return (
            CROSSING * self.crossings
            + BEND * self.bends
            + LENGTH * self.length
            + AREA * self.area
        )


def score(wires: Sequence[Wire], size: Grid) -> Score:
    """Return the figures of wires on a sheet."""
    pieces = [(wire.net, piece) for wire in wires for piece in wire.segments]
    flat = [(net, a, b) for net, (a, b) in pieces if a[1] == b[1]]
    steep = [(net, a, b) for net, (a, b) in pieces if a[0] == b[0]]
    crossings = sum(
        net != other and x < u < v and y < w < z
        for net, (x, w), (v, _) in flat
        for other, (u, y), (_, z) in steep
    )
    length = sum(b[0] - a[0] + b[1] - a[1] for _, (a, b) in pieces)
    bends = sum(_bends(wire) for wire in wires)
    return Score(crossings, bends, length, float(size[0] * size[1]))


def _bends(wire: Wire) -> int:
    flat: set[Point] = set()
    steep: set[Point] = set()
    for a, b in wire.segments:
        (flat if a[1] == b[1] else steep).update((a, b))
    return len((flat & steep) - set(wire.dots))
