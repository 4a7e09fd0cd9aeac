"""One answer a pair: cases, windows, bound, early display and reason put together."""

from collections.abc import Sequence
from dataclasses import replace
from math import inf, isinf, isnan
from typing import NamedTuple

import numpy as np

from tracegraph.display import show
from tracegraph.meter.across import Across, across
from tracegraph.meter.boards import Boards
from tracegraph.meter.cases import bound, hull, scale_cases, together, unknown_cases
from tracegraph.meter.expected import Case, Expected
from tracegraph.meter.profile import Profile
from tracegraph.meter.reason import Reason, reasons
from tracegraph.meter.settle import PATIENCE, Early, early, early_window
from tracegraph.meter.spans import Span, Spans, spans_of
from tracegraph.meter.table import Table
from tracegraph.network.drive import NotConvergedError
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage

Pairs = Sequence[tuple[str, str]]


class Bench(NamedTuple):
    """What a question is asked of: the section as it stands, its boards, the meter."""

    section: Stage
    boards: Boards
    profile: Profile
    condition: Condition


class _Found(NamedTuple):
    """Everything found out for all pairs of one mode."""

    bench: Bench
    table: Table
    spans: Spans
    early: Early
    reasons: tuple[Reason, ...]
    across: tuple[Across, ...]


def answers(bench: Bench, pairs: Pairs, mode: Mode) -> list[Expected]:
    """Return the expected readings of pairs of nets in one mode.

    Args:
        bench: The section, its boards, the meter and the condition.
        pairs: Nets of red and black.
        mode: OHMS, DIODE or BEEP.
    """
    if not bench.profile.scales(mode):
        return [without_mode(bench, pair, mode) for pair in pairs]
    table = Table(bench.boards, pairs, mode, bench.profile)
    found = _Found(
        bench,
        table,
        spans_of(table, {k: _needed(table, k) for k in range(len(pairs))}),
        early(table, bench.condition.after),
        reasons(bench.section, table),
        across(bench.boards, table),
    )
    return [_answer(found, k) for k in range(len(pairs))]


def without_mode(bench: Bench, pair: tuple[str, str], mode: Mode) -> Expected:
    """Return the answer of a meter that does not have this mode."""
    error = f"the meter {bench.profile.name} has no {mode} range"
    return Expected(*pair, mode, bench.condition, bench.profile.name, error=error)


def _needed(table: Table, pair: int) -> tuple[int, ...]:
    """Return the rows whose windows an answer needs.

    The usual board; where an unknown moves the reading also the boards that show
    most, least and OL, and each alternative of the biggest mover alone.
    """
    if not table.moved[:, pair].any():
        return (0,)
    values = table.values[:, pair]
    numbers, opens = (
        np.flatnonzero(np.isfinite(values)),
        np.flatnonzero(np.isinf(values)),
    )
    rows = {0, *(int(row) for row in opens[:1]), *table.alone(table.movers(pair)[:1])}
    if numbers.size:
        rows |= {int(numbers[pick(values[numbers])]) for pick in (np.argmin, np.argmax)}
    return tuple(sorted(rows))


def _answer(found: _Found, k: int) -> Expected:
    """Return the answer for one pair."""
    table, bench, mode = found.table, found.bench, found.table.mode
    shell = Expected(*table.pairs[k], mode, bench.condition, bench.profile.name)
    reason = found.reasons[k]
    if isnan(table.values[0, k]):
        return replace(
            shell, error=str(NotConvergedError(*table.pairs[k], reason.parts))
        )
    by_row = {row: many for (row, pair), many in found.spans.items() if pair == k}
    settled = _cases(found, k, by_row)
    seconds = float(found.early.settles[k])
    if len(by_row) == 1 and seconds > PATIENCE:
        by_row = {0: (_early_span(found, k),)}
    cases = _cases(found, k, by_row)
    movers = [bench.boards.unknowns[mover] for mover in table.movers(k)]
    return replace(
        _with_numbers(shell, table, k, by_row),
        cases=cases,
        display=together(cases),
        reason=_reason(reason, several=len(by_row[0]) > 1),
        parts=reason.parts,
        hidden=found.across[k].hidden,
        unproven=found.across[k].unproven,
        uncertain=tuple(_swing(table, k, mover) for mover in table.movers(k)),
        ask=movers[0].ask if movers else reason.remark,
        early=_early(found, k, together(settled)),
        settles=seconds,
        residual=float(table.usual.shown.residual[k]),
    )


def _cases(
    found: _Found, k: int, by_row: dict[int, tuple[Span, ...]]
) -> tuple[Case, ...]:
    beep = found.bench.profile.beep
    limit = beep.below if beep else inf
    if len(by_row) > 1:
        return unknown_cases(found.table, k, by_row, limit)
    return scale_cases(by_row[0], found.table.mode, limit)


def _with_numbers(
    shell: Expected, table: Table, k: int, by_row: dict[int, tuple[Span, ...]]
) -> Expected:
    """Return the answer with its typical display, windows and bound; a beep has none."""
    moved = len(by_row) > 1
    every = [span for many in by_row.values() for span in many]
    left = bound(every, moved=moved, linear=not table.bent[:, k].any())
    if table.mode is Mode.BEEP:
        return replace(shell, bound=left)
    low, high, worst_low, worst_high = hull(every)
    return replace(
        shell,
        typical=None if moved else _typical(by_row[0]),
        low=low,
        high=high,
        worst_low=worst_low,
        worst_high=worst_high,
        may_be_open=any(span.opens for span in every),
        bound=left,
    )


def _typical(spans: tuple[Span, ...]) -> float | None:
    """Return the display rounded to its last digit; None for OL or several scales."""
    span = spans[0]
    if len(spans) > 1 or isinf(span.typical):
        return None
    return round(round(span.typical / span.scale.step) * span.scale.step, 12)


def _reason(reason: Reason, *, several: bool) -> str:
    if several and reason.junctions:
        through = " and ".join(reason.junctions[:2])
        return f"through the junction of {through}: your meter decides; use diode test"
    return reason.words


def _swing(table: Table, pair: int, mover: int) -> str:
    """Say how far an unknown moves a reading: `0.7 V to OL: depends on R15`."""
    seen = table.values[[0, *table.alone([mover])], pair]
    low, high = (table.text(float(end)) for end in (seen.min(), seen.max()))
    return f"{low} to {high}: depends on {table.boards.unknowns[mover].subject}"


def _early_span(found: _Found, k: int) -> Span:
    """Return the early display as the answer: the settled one is never seen in hand."""
    table, seen = found.table, found.early
    scale = table.profile.scales(table.mode)[int(seen.scale[k])]
    low, high = early_window(table, k, seen, found.bench.condition.after)
    value = float(seen.values[k])
    return Span(scale, value, low, high, low, high, isinf(value) or high >= scale.full)


def _early(found: _Found, k: int, settled: str) -> str:
    """Return what is seen while a hand holds the probes; empty if it rests at once."""
    table, seen = found.table, found.early
    if not seen.differs[k]:
        return ""
    first, then = table.text(float(seen.first[k])), table.text(float(seen.values[k]))
    after = show(found.bench.condition.after, "s", 2)
    words = f"{first} at first" + (f", {then} after {after}" if then != first else "")
    rest = float(seen.settles[k])
    words += (
        ", still moving" if isinf(rest) else f", {settled} after {show(rest, 's', 2)}"
    )
    return f"{words}: {', '.join(seen.stores)}"
