"""From what the boards show to what a healthy section may lawfully show: the cases."""

from collections.abc import Iterable, Iterator, Sequence
from math import inf, isinf

from tracegraph.display import show
from tracegraph.meter.expected import Bound, Case
from tracegraph.meter.spans import Span
from tracegraph.meter.unknowns.table import Table
from tracegraph.stage.reading import UNITS, Mode

FEW = 4  # displays that are listed one by one; more are given as a range


def scale_cases(spans: Sequence[Span], mode: Mode, limit: float) -> tuple[Case, ...]:
    """Return the cases of one board: one, or one for each scale it may settle on."""
    share = 1 / len(spans)
    several = len(spans) > 1
    return tuple(
        _case(
            span,
            mode,
            limit,
            f"on the {show(span.scale.full, 'ohm')} range" if several else "",
            share,
        )
        for span in spans
    )


def unknown_cases(
    table: Table, pair: int, spans: dict[int, tuple[Span, ...]], limit: float
) -> tuple[Case, ...]:
    """Return a case for each display that the boards show, the most usual first."""
    rows: dict[str, list[int]] = {}
    cases: dict[str, list[Case]] = {}
    for row, many in spans.items():
        for span in many:
            case = _case(span, table.mode, limit, "", table.share(row, pair))
            rows.setdefault(case.display, []).append(row)
            cases.setdefault(case.display, []).append(case)
    merged = [_merged(cases[key], _when(table, pair, rows[key])) for key in cases]
    merged.sort(key=lambda case: -case.share)
    alike: dict[str, list[Case]] = {}
    for one in merged:  # the same unknown alone and with another that hardly counts
        alike.setdefault(one.why, []).append(one)
    found = [_merged(same, why) for why, same in alike.items()]
    total = sum(case.share for case in found)
    return tuple(case._replace(share=case.share / total) for case in found)


def _when(table: Table, pair: int, rows: Iterable[int]) -> str:
    """Say when boards are so: `R67: 10 k or 100 k`."""
    told = sorted((table.told(row, pair) for row in rows), key=len)
    said: dict[str, list[str]] = {}
    for unknowns in told:
        if len(unknowns) == 1 or not said:
            for unknown, one in unknowns:
                said.setdefault(unknown.subject, []).append(one.words)
    return ", ".join(f"{subject}: {_or(words)}" for subject, words in said.items())


def _or(words: Iterable[str]) -> str:
    """Return words in a row: `a, b or c`."""
    *first, last = dict.fromkeys(words)
    return f"{', '.join(first)} or {last}" if first else last


def _merged(cases: list[Case], why: str) -> Case:
    lows = [case.low for case in cases if case.low is not None]
    highs = [case.high for case in cases if case.high is not None]
    return Case(
        min(lows) if lows else None,
        max(highs) if highs else None,
        any(case.open for case in cases),
        why,
        sum(case.share for case in cases),
        cases[0].display,
    )


def _case(span: Span, mode: Mode, limit: float, why: str, share: float) -> Case:
    number = mode is not Mode.BEEP and not isinf(span.low)
    return Case(
        span.low if number else None,
        span.high if number else None,
        mode is not Mode.BEEP and span.opens,
        why,
        share,
        shown(span, mode, limit),
    )


def shown(span: Span, mode: Mode, limit: float) -> str:
    """Return what the display of one board shows; `limit` is where the beep ends."""
    if mode is Mode.BEEP:
        if span.high < limit:
            return "beep"
        return "no beep" if span.low > limit else "may beep"
    return "OL" if isinf(span.typical) else show(span.typical, UNITS[mode])


def together(cases: Sequence[Case]) -> str:
    """Return the displays of several cases as one: `0.72 V, 1.15 V or OL`."""
    ordered = sorted(cases, key=_place)
    texts = list(dict.fromkeys(case.display for case in ordered))
    if len(texts) > FEW:
        numbers = [text for text in texts if text != "OL"]
        texts = [f"{numbers[0]} to {numbers[-1]}", *(t for t in texts if t == "OL")]
    return _or(texts)


def _place(case: Case) -> float:
    """Return where a case stands among others: by its display, OL last."""
    if case.low is None or case.high is None or case.display == "OL":
        return inf
    return case.low + case.high


def bound(spans: Iterable[Span], *, moved: bool, linear: bool) -> Bound:
    """Return what still holds against the unknowns that move a reading.

    An unknown path can only lower a reading where every way that carries current is
    linear; through junctions it may go either way.
    """
    spans = list(spans)
    if not moved:
        return Bound.NONE
    if not linear:
        return Bound.ANYTHING
    if not any(span.opens for span in spans):
        return Bound.AT_MOST
    return Bound.AT_LEAST if min(span.low for span in spans) > 0 else Bound.ANYTHING


def hull(spans: Iterable[Span]) -> Iterator[float | None]:
    """Yield low, high, worst low and worst high over all that are numbers."""
    numbers = [span for span in spans if not isinf(span.low)]
    for field, pick in (
        ("low", min),
        ("high", max),
        ("worst_low", min),
        ("worst_high", max),
    ):
        yield pick(getattr(span, field) for span in numbers) if numbers else None
