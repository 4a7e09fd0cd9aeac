"""From what the boards show to what a healthy section may lawfully show: the cases."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from math import isinf

from tracegraph.display import show
from tracegraph.meter.expected import Bound, Case
from tracegraph.meter.spans import Span
from tracegraph.meter.table import Table
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
    """Return a case for each board that was worked out, the most usual first.

    Boards with the same display are one case; its words name what they have in common
    with each other and with no other case.
    """
    found = [
        _case(span, table.mode, limit, table.words(row, pair), table.share(row, pair))
        for row, many in spans.items()
        for span in many
    ]
    found.sort(key=lambda case: case.display)
    merged = [
        _merged(list(same)) for _, same in groupby(found, key=lambda c: c.display)
    ]
    return tuple(sorted(merged, key=lambda case: -case.share))


def _merged(cases: list[Case]) -> Case:
    lows = [case.low for case in cases if case.low is not None]
    highs = [case.high for case in cases if case.high is not None]
    return Case(
        min(lows) if lows else None,
        max(highs) if highs else None,
        any(case.open for case in cases),
        " or ".join(dict.fromkeys(case.why for case in cases)),
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


def together(cases: Iterable[Case]) -> str:
    """Return the displays of several cases as one: `0.72 V, 1.15 V or OL`."""
    texts = list(dict.fromkeys(case.display for case in cases))
    if len(texts) > FEW:
        ordered = sorted((c for c in cases if c.low is not None), key=_low)
        ends = [ordered[0].display, ordered[-1].display]
        texts = [f"{ends[0]} to {ends[1]}", *(t for t in texts if t == "OL")]
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} or {texts[-1]}"


def _low(case: Case) -> float:
    return case.low or 0.0


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
