"""Cells of nets' own symbols: inputs, open ends, and what goes on on other sheets."""

from collections.abc import Iterator, Mapping

from tracegraph.draw.cell import Cell, End
from tracegraph.draw.drawing import PortForm
from tracegraph.draw.dress import end_port
from tracegraph.draw.items import Section
from tracegraph.draw.shapes import Side

FIRST, LAST = -1.0, 1.0
"""Where a flag belongs along the signal, counted from its net."""


def flag_cells(section: Section, levels: Mapping[str, float]) -> Iterator[Cell]:
    """Yield a cell for every input, open end and net that goes on elsewhere."""
    for source in section.stage.inputs:
        if source.net in section.pins and source.net in section.flagged:
            why = f"input {source.net}: a controller drives it when powered"
            yield _flag(PortForm.INPUT, source.net, FIRST, Side.LEFT, why)
    for net, state in section.open_nets.items():
        if net in section.pins and net not in section.hubs:
            form = PortForm(state)
            rank = levels.get(net, 0.0) + LAST
            yield _flag(form, net, rank, Side.RIGHT, _why(form, net))
    for net, sheets in section.beyond.items():
        if net in section.pins:
            where = ", ".join(str(number) for number in sheets)
            rank = levels.get(net, 0.0)
            side = Side.LEFT if rank < 1 else Side.RIGHT
            rank = FIRST if side is Side.LEFT else rank + LAST
            why = f"net {net} goes on on sheet {where}"
            yield _flag(PortForm.SHEET, net, rank, side, why)


def _why(form: PortForm, net: str) -> str:
    if form is PortForm.UNTRACED:
        return f"net {net} is not traced to its end: more may hang on it"
    return f"net {net}: its plug is out"


def _flag(form: PortForm, net: str, rank: float, side: Side, why: str) -> Cell:
    port = end_port(form, net, (0, 0), side, why)
    return Cell((), (port,), (End(net, (0, 0), side.opposite),), rank)
