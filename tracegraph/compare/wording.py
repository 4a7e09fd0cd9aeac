"""Differences in the trade's words."""

from collections.abc import Iterable

from tracegraph.diagnostics import Span
from tracegraph.display import written
from tracegraph.quantity import Quantity
from tracegraph.stage.kind import a
from tracegraph.stage.part import Part

_TIMES = {10: "ten", 100: "a hundred", 1000: "a thousand"}


def called(new: Part, old: Part) -> str:
    """Return how the traced part is called, with the reference's name if another."""
    if new.ref.lower() == old.ref.lower():
        return new.ref
    return f"{new.ref} ({old.ref} in the reference)"


def line_of(span: Span | None) -> str:
    """Return where the reference says it.

    >>> line_of(Span(38, 1, 4)), line_of(None)
    (' (reference line 38)', '')
    """
    return f" (reference line {span.line})" if span else ""


def kind_words(new: Part, old: Part) -> str:
    """Return that a part is of another kind: `Q23 is NPN here, PNP in the reference`."""
    name = called(new, old)
    here, there = new.kind.title, old.kind.title
    if new.kind is old.kind:
        return f"{name} is {_variant(new)} here, {_variant(old)} in the reference"
    first, _, last = here.rpartition(" ")
    other, _, same = there.rpartition(" ")
    if last == same and {first, other} == {"NPN", "PNP"}:
        return f"{name} is {first} here, {other} in the reference"
    return f"{name} is {a(here)} here, {a(there)} in the reference"


def _variant(part: Part) -> str:
    words = ", ".join(sorted(part.variant)) or "plain"
    return f"{a(part.kind.title)} ({words})"


def value_words(new: Part, old: Part, symbols: Iterable[str]) -> str:
    """Return which values are other ones, and how many times off."""
    told = "; ".join(
        _one_value(symbol, new.given[symbol], old.given[symbol], old.kind.value)
        for symbol in symbols
    )
    return f"{called(new, old)} reads {told}"


def _one_value(symbol: str, new: Quantity, old: Quantity, main: str) -> str:
    name = "" if symbol == main else f"{symbol}="
    here, there = _shown(new), _shown(old)
    return f"{name}{here} here, {name}{there} in the reference{_times(new, old)}"


def _shown(quantity: Quantity) -> str:
    return "unknown" if quantity.typical is None else _rounded(quantity)


def _rounded(quantity: Quantity) -> str:
    return written(float(f"{quantity.typical:.4g}"), quantity.unit)


def _times(new: Quantity, old: Quantity) -> str:
    if not (new.typical and old.typical) or new.typical * old.typical < 0:
        return ""
    ratio = new.typical / old.typical
    factor, word = (ratio, "more") if ratio > 1 else (1 / ratio, "less")
    if factor < 1.5:
        return ""
    known = (text for at, text in _TIMES.items() if abs(factor / at - 1) < 0.15)
    return f": {next(known, f'{factor:.2g}')} times {word}"


def turned_words(new: Part, old: Part, pins: Iterable[tuple[str, str]]) -> str:
    """Return that pins are exchanged, given as pairs of one part's pin names."""
    order = [*(spec.name for spec in new.kind.pins), *new.pins]
    moved = sorted(pins, key=lambda pair: order.index(pair[0]))
    name = called(new, old)
    if len(new.kind.pins) == 2:
        return f"{name} is the other way round"
    if len(moved) == 2:
        one, other = (_role(new, pin) for pin, _ in moved)
        return f"{name}: {one} and {other} swapped"
    told = ", ".join(
        f"{_role(new, b)} where {_role(new, was)} belongs" for b, was in moved
    )
    return f"{name}: pins turned, {told}"


def _role(part: Part, pin: str) -> str:
    roles = {spec.name: spec.role for spec in part.kind.pins}
    shared = list(roles.values()).count(roles.get(pin, "")) > 1
    return f"pin {pin}" if shared else roles.get(pin) or f"pin {pin}"
