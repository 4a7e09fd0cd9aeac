"""One answer a pair: cases, windows, bound, early display and reason put together."""

from collections.abc import Sequence
from dataclasses import replace
from math import inf, isinf, isnan
from typing import NamedTuple

import numpy as np

from tracegraph.display import show
from tracegraph.meter.across import Across, across
from tracegraph.meter.cases import bound, hull, scale_cases, together, unknown_cases
from tracegraph.meter.expected import Case, Expected
from tracegraph.meter.profile import Profile
from tracegraph.meter.reason import Reason, reasons
from tracegraph.meter.settle import Early, early, early_windows
from tracegraph.meter.spans import Span, Spans, spans_of
from tracegraph.meter.unknowns.boards import Boards
from tracegraph.meter.unknowns.table import Table
from tracegraph.network.drive import NotConvergedError
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage

EARLY_SAME = 0.05  # part of an early display within which boards are alike
TOLD = 3  # unknowns named where only several together move a reading
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
    windows: dict[int, tuple[float, float]]
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
    if not pairs:
        return []
    table = Table(bench.boards, pairs, mode, bench.profile)
    soon = early(table, bench.condition.after)
    held = np.flatnonzero([soon.held(k) for k in range(len(pairs))])
    rows = {k: (0,) if soon.held(k) else _needed(table, k) for k in range(len(pairs))}
    found = _Found(
        bench,
        table,
        spans_of(table, rows),
        soon,
        early_windows(table, held, soon, bench.condition.after),
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
    reason, blind = _seen_through_time(found, k)
    if isnan(table.values[0, k]):
        return replace(
            shell, error=str(NotConvergedError(*table.pairs[k], reason.parts))
        )
    by_row = {row: many for (row, pair), many in found.spans.items() if pair == k}
    settled = together(_cases(found, k, by_row))
    if found.early.held(k):
        by_row = _early_spans(found, k)
    cases = _cases(found, k, by_row)
    uncertain, ask = _uncertain(table, k) if len(by_row) > 1 else ((), "")
    return replace(
        _with_numbers(shell, table, k, by_row),
        cases=cases,
        display=together(cases),
        reason=_reason(reason, several=len(by_row[0]) > 1),
        parts=reason.parts,
        hidden=blind.hidden,
        unproven=blind.unproven,
        uncertain=uncertain,
        ask=ask or reason.remark,
        early=_early(found, k, settled),
        settles=float(found.early.settles[k]),
        residual=float(table.usual.shown.residual[k]),
    )


def _seen_through_time(found: _Found, k: int) -> tuple[Reason, Across]:
    """Return reason and blind spots, as they are while a hand holds the probes.

    A capacitor that holds a reading up is seen by that; where the reading never rests,
    it is all that is seen.
    """
    reason, blind, stores = found.reasons[k], found.across[k], found.early.stores[k]
    if not found.early.differs[k]:
        return reason, blind
    if found.early.held(k):
        filled = " and ".join(stores) or "what the section holds"
        words = f"the meter fills {filled}, and the display moves"
        return reason._replace(words=words, parts=stores, junctions=()), Across((), ())
    unproven = tuple(ref for ref in blind.unproven if ref not in stores)
    return reason, blind._replace(unproven=unproven)


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


def _uncertain(table: Table, pair: int) -> tuple[tuple[str, ...], str]:
    """Say how far each unknown moves a reading, and what to do about the biggest.

    `0.7 V to OL: depends on R15`.
    """
    movers = table.movers(pair)
    unknowns = [table.boards.unknowns[mover] for mover in movers]
    rows = [table.alone([mover]) for mover in movers]
    if not any(table.moved[row, pair].any() for row in rows):
        swing = _swing(table, pair, list(range(len(table.rows))))
        several = ", ".join(one.subject for one in unknowns[:TOLD])
        return (f"{swing}: depends on several together: {several}...",), unknowns[0].ask
    return tuple(
        f"{_swing(table, pair, [0, *row])}: depends on {one.subject}"
        for row, one in zip(rows, unknowns, strict=True)
    ), unknowns[0].ask


def _swing(table: Table, pair: int, rows: list[int]) -> str:
    seen = table.values[rows, pair]
    return f"{table.text(float(seen.min()))} to {table.text(float(seen.max()))}"


def _early_spans(found: _Found, k: int) -> dict[int, tuple[Span, ...]]:
    """Return the early displays as the answer: the settled one is never seen in hand.

    Boards that show something else then stand beside the usual one, their windows as
    wide as its own.
    """
    table, seen = found.table, found.early
    scale = table.profile.scales(table.mode)[int(seen.scale[k])]
    low, high = found.windows[k]
    usual = float(seen.values[k])
    opens = isinf(usual) or high >= scale.full
    spans: dict[int, tuple[Span, ...]] = {
        0: (Span(scale, usual, low, high, low, high, opens),)
    }
    for row, values in seen.others.items():
        value = float(values[k])
        strayed = abs(value - usual) > max(EARLY_SAME * usual, 2 * scale.step)
        if row in table.alone(table.movers(k)) and strayed:
            ends = (value * low / usual, value * high / usual) if usual else (low, high)
            spans[row] = (Span(scale, value, *ends, *ends, isinf(value)),)
    return spans


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
    stores = ", ".join(seen.stores[k])
    return f"{words}: {stores}" if stores else words
