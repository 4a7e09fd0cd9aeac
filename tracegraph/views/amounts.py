"""Values as people read them: `4.7 kΩ ±5 %`, `about 22 Ω`, `not known`."""

from collections.abc import Iterator
from math import isinf

from tracegraph.display import show
from tracegraph.quantity import Quantity
from tracegraph.stage.kinds.igbt import NO_DIODE
from tracegraph.stage.part import RATED, Part


def amount(quantity: Quantity) -> str:
    """Return a value with its spread; what is unknown says between what it lies.

    >>> from tracegraph.quantity import exact, unknown
    >>> amount(exact(4700, "ohm").within(0.05)), amount(unknown("ohm"))
    ('4.7 kΩ ±5 %', 'not known')
    """
    if quantity.typical is None:
        return _interval(quantity)
    value = whole(quantity.typical, quantity.unit)
    spread = _spread(quantity)
    return f"{value} ±{spread:.3g} %" if spread >= 0.01 else value


def whole(value: float, unit: str) -> str:
    """Return a value with its full unit: `4.7 kΩ`, where a display shows `4.7 k`."""
    shown = show(value, unit, 4)
    return f"{shown}Ω" if unit == "ohm" and shown[-1] in "kMG" else shown


def _interval(quantity: Quantity) -> str:
    if isinf(quantity.high) or quantity.low == quantity.high:
        return "not known"
    ends = [whole(one, quantity.unit) for one in (quantity.low, quantity.high)]
    return f"not known, {ends[0]} to {ends[1]}"


def _spread(quantity: Quantity) -> float:
    """Return the wider side of the interval in per cent of the value."""
    typical = quantity.typical
    if not typical or isinf(quantity.high):
        return 0.0
    reach = max(quantity.high - typical, typical - quantity.low)
    return abs(reach / typical) * 100


def value_of(part: Part) -> str:
    """Return a part's own value, and after it what else the file states of it."""
    own = part.given.get(part.kind.value)
    first = [amount(own)] if own else []
    rest = (
        f"rated {_plain(told)}"
        if symbol.startswith(RATED)
        else f"{symbol} {_plain(told)}"
        for symbol, told in part.given.items()
        if symbol != part.kind.value
    )
    return ", ".join([*first, *rest])


def _plain(quantity: Quantity) -> str:
    if quantity.typical is None:
        return "not known"
    return whole(quantity.typical, quantity.unit)


def assumed(part: Part) -> Iterator[str]:
    """Yield what was not written of a part and taken as usual."""
    own = part.kind.parameters.get(part.kind.value)
    told = part.given.get(part.kind.value)
    if own and told and told.known and own.symbol not in part.toleranced:
        yield f"usual ±{_spread(told):.3g} %" if _spread(told) else ""
    if own and not told and not own.optional:
        yield f"usual {amount(own.quantity)}"
    if not part.given and not own and part.kind.parameters:
        yield "usual figures"
    if part.kind.word == "igbt" and NO_DIODE not in part.variant:
        yield "its antiparallel diode"
    if not part.pinout:
        yield "pinout not known"
