"""What a pass does not prove: parts across the probes that the reading cannot see."""

from typing import NamedTuple

from tracegraph.meter.boards import Boards
from tracegraph.meter.table import Table, nodes_of
from tracegraph.stage.change import Change, Remove, Tie
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
    hidden: list[list[str]] = [[] for _ in table.pairs]
    unproven: list[list[str]] = [[] for _ in table.pairs]
    for part in boards.section.parts:
        pairs = [k for k, pair in enumerate(table.pairs) if _spans(part, pair)]
        if not pairs:
            continue
        gone = _unchanged(boards, table, pairs, Remove(part.ref))
        for k, blind in zip(pairs, gone, strict=True):
            if blind:
                unproven[k].append(part.ref)
                red, black = table.pairs[k]
                if _unchanged(boards, table, [k], Tie(red, black))[0]:
                    hidden[k].append(part.ref)
    return tuple(
        Across(tuple(h), tuple(u)) for h, u in zip(hidden, unproven, strict=True)
    )


def _spans(part: Part, pair: tuple[str, str]) -> bool:
    red, black = pair
    return part.fitted and red != black and {red, black} <= set(part.pins.values())


def _unchanged(
    boards: Boards, table: Table, pairs: list[int], change: Change
) -> list[bool]:
    """Return for which pairs the usual board shows the same with a change made to it."""
    circuit = boards.altered(change)
    nodes = nodes_of(circuit, [table.pairs[k] for k in pairs])
    seen = table.shown_by(circuit, nodes).values
    return [bool(one) for one in table.same(seen, pairs)]
