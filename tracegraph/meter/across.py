"""What a pass does not prove: parts across the probes that the reading cannot see."""

from typing import NamedTuple

import numpy as np

from tracegraph.meter.instrument import Bools
from tracegraph.meter.unknowns.boards import Boards
from tracegraph.meter.unknowns.table import Table, nodes_of
from tracegraph.network.retune import retuned
from tracegraph.stage.part import Part


class Across(NamedTuple):
    """Parts directly across the probes that a reading is blind to.

    Attributes:
        hidden: Neither missing nor shorted changes the display by a digit.
        unproven: Missing alone does not change it: an open would not show here.
    """

    hidden: tuple[str, ...]
    unproven: tuple[str, ...]


def across(boards: Boards, table: Table) -> tuple[Across, ...]:
    """Return for every pair what its reading on the usual board is blind to."""
    asked = [
        (part.ref, k)
        for part in boards.section.parts
        for k, pair in enumerate(table.pairs)
        if _spans(part, pair)
    ]
    found = [Across((), ()) for _ in table.pairs]
    shorted = table.shorted()
    for (ref, k), blind in zip(asked, _blind(table, asked), strict=True):
        if blind:
            both = (ref,) if shorted[k] else ()
            found[k] = Across(found[k].hidden + both, (*found[k].unproven, ref))
    return tuple(found)


def _blind(table: Table, asked: list[tuple[str, int]]) -> Bools:
    """Return where the usual board shows the same without a part, as one batch."""
    circuit, pairs = table.usual.board.circuit, [k for _, k in asked]
    if not asked:
        return np.zeros(0, bool)
    gone = {ref: retuned(circuit, off=[ref]).values for ref, _ in asked}
    nodes = nodes_of(circuit, [table.pairs[k] for k in pairs])
    shown = table.shown_by(circuit, nodes, np.array([gone[ref] for ref, _ in asked]))
    return table.same(shown.values, pairs)


def _spans(part: Part, pair: tuple[str, str]) -> bool:
    red, black = pair
    return part.fitted and red != black and {red, black} <= set(part.pins.values())
