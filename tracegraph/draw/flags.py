"""Cells of nets' own symbols: inputs, open ends, and what goes on on other sheets."""

from collections.abc import Iterator, Mapping

from tracegraph.draw.cell import Cell, End
from tracegraph.draw.drawing import PortForm
from tracegraph.draw.dress import end_port
from tracegraph.draw.ends import Ending, endings
from tracegraph.draw.items import Section
from tracegraph.draw.shapes import Side

FIRST, LAST = -1.0, 1.0
"""Where a flag belongs along the signal, counted from its net."""


def flag_cells(section: Section, levels: Mapping[str, float]) -> Iterator[Cell]:
    """Yield a cell for every input, open end and net that goes on elsewhere."""
    for net in section.pins:
        if net in section.flagged:
            for ending in endings(section, net):
                yield _flag(net, ending, levels.get(net, 0.0))


def _flag(net: str, ending: Ending, level: float) -> Cell:
    comes = ending.form is PortForm.INPUT
    comes |= ending.form is PortForm.SHEET and level < 1
    side = Side.LEFT if comes else Side.RIGHT
    hangs = ending.form in {PortForm.UNTRACED, PortForm.UNPLUGGED}
    told = ending._replace(told="") if hangs else ending  # its name is at the wire
    port = end_port(told, net, (0, 0), side)
    rank = FIRST if comes else level + LAST
    return Cell((), (port,), (End(net, (0, 0), side.opposite),), rank)
