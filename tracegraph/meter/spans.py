"""The windows of every board and pair that an answer needs, worked out in batches."""

from collections import defaultdict
from collections.abc import Mapping
from math import inf
from typing import NamedTuple

import numpy as np

from tracegraph.meter.capacitance import farad_windows
from tracegraph.meter.instrument import polarised
from tracegraph.meter.profile import Scale
from tracegraph.meter.unknowns.table import Row, Table, nodes_of
from tracegraph.meter.window import windows
from tracegraph.network.circuit import Ints
from tracegraph.stage.reading import Mode


class Span(NamedTuple):
    """What one board shows for one pair on one scale, in SI units of the display.

    Attributes:
        scale: The scale.
        typical: Display of the typical board; infinite for OL.
        low: Least display of 99.7 % of such boards; infinite where all show OL.
        high: Greatest likewise, at most the scale's limit.
        worst_low: Least display with every part at its limit.
        worst_high: Greatest likewise.
        opens: Whether some such boards show OL.
    """

    scale: Scale
    typical: float
    low: float = inf
    high: float = inf
    worst_low: float = inf
    worst_high: float = inf
    opens: bool = True

    def above(self, least: float, *, last: bool) -> "Span":
        """Return the part of the span above a display where a lower scale holds.

        Up to its full scale, if a higher scale holds the rest.
        """
        low, worst_low = max(self.low, least), max(self.worst_low, least)
        if last:
            return self._replace(low=low, worst_low=worst_low)
        typical = min(max(self.typical, low), self.scale.full)
        return self._replace(low=low, worst_low=worst_low, typical=typical, opens=False)


STAYS = 0.9  # part of a lower scale's full from which the meter stays on a higher one
Spans = Mapping[tuple[int, int], tuple[Span, ...]]


def spans_of(table: Table, wanted: Mapping[int, tuple[int, ...]]) -> Spans:
    """Return the spans of boards and pairs, by (row, pair).

    A reading through a junction in ohms gets a span for every scale that a healthy
    board may settle on; any other reading has one.

    Args:
        table: What each board shows.
        wanted: For every pair, the rows of the table whose windows are needed.
    """
    by_row: dict[int, list[int]] = defaultdict(list)
    for pair, rows in wanted.items():
        for row in rows:
            by_row[row].append(pair)
    found: dict[tuple[int, int], tuple[Span, ...]] = {}
    for row, pairs in by_row.items():
        alone = {pair for pair in pairs if len(wanted[pair]) == 1}
        for pair, spans in _of_row(table, table.rows[row], pairs, alone).items():
            found[row, pair] = spans
    return found


def _of_row(
    table: Table, row: Row, pairs: list[int], alone: set[int]
) -> dict[int, tuple[Span, ...]]:
    """Return the spans of one board; several only where no other board counts."""
    shown = row.shown
    found: dict[int, list[Span]] = {pair: [] for pair in pairs}
    answered = [k for k in pairs if not np.isnan(shown.values[k])]
    wandering = {
        k for k in answered if table.mode is Mode.OHMS and shown.bent[k] and k in alone
    }
    under, last = 0.0, len(table.profile.scales(table.mode)) - 1
    settled: set[int] = set()
    for index, scale in enumerate(table.profile.scales(table.mode)):
        firm = [k for k in answered if k not in wandering and shown.scale[k] == index]
        for k, span in zip(firm, _on_scale(table, row, firm, scale), strict=True):
            found[k].append(span)
        loose = [k for k in answered if k in wandering and k not in settled]
        seen = _on_scale(table, row, loose, scale, rough=True)
        for k, span in zip(loose, seen, strict=True):
            if span.low <= scale.full and span.high > under:
                found[k].append(span.above(under, last=index == last))
            if not span.opens:
                settled.add(k)
        under = STAYS * scale.full
    return {k: tuple(spans) or (_open(table),) for k, spans in found.items()}


def _open(table: Table) -> Span:
    return Span(table.profile.scales(table.mode)[-1], inf)


def _on_scale(
    table: Table, row: Row, pairs: list[int], scale: Scale, *, rough: bool = False
) -> list[Span]:
    """Return one board's spans for some pairs on one scale.

    What goes over a scale is shown by the next one: only the highest ends in OL. Rough
    spans stay on their own scale.
    """
    if not pairs:
        return []
    if not rough:
        scale = scale._replace(full=table.profile.scales(table.mode)[-1].full)
    nodes: Ints = nodes_of(row.board.circuit, [table.pairs[k] for k in pairs])
    circuit = row.board.circuit
    if table.mode is Mode.CAP:
        seen = farad_windows(circuit, nodes, table.profile)
    else:
        plus = polarised(nodes, table.mode, table.profile)
        seen = windows(circuit, plus, table.mode, table.profile, scale, rough=rough)
    return [
        Span(
            scale,
            float(seen.typical[i]) if seen.typical[i] <= scale.full else inf,
            float(seen.low[i]) if seen.low[i] <= scale.full else inf,
            float(seen.high[i]),
            float(seen.worst_low[i]),
            float(seen.worst_high[i]),
            bool(seen.opens[i]),
        )
        for i in range(len(pairs))
    ]
