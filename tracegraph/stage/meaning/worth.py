"""What a part is worth in numbers: its value, mark, tolerance and ratings."""

from dataclasses import replace

from tracegraph.marking import Value
from tracegraph.notation.syntax import Word
from tracegraph.quantity import Origin, Quantity
from tracegraph.stage.kind import Kind, Parameter
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.values import (
    about,
    read_mark,
    read_value,
    to_quantity,
    unread,
)
from tracegraph.stage.meaning.wording import Gathered
from tracegraph.stage.titles import a

RATED = "rated "
"""Ratings are kept among the given quantities as `rated V`, `rated A`, `rated W`."""


def take_rating(gathered: Gathered, value: Value) -> None:
    """Keep a rating under its unit."""
    unit = value.unit
    gathered.given[RATED + unit] = Quantity(
        value.number, value.number, value.number, unit
    )


def value_parameter(kind: Kind) -> Parameter | None:
    """Return the parameter that a bare value of this kind sets, or None."""
    return kind.parameters.get(kind.value) if kind.value else None


def take_about(desk: Desk, gathered: Gathered, word: Word) -> None:
    """Keep a value that is only roughly known."""
    parameter = value_parameter(gathered.kind)
    value = read_value(desk, gathered.ref, word, parameter) if parameter else None
    if parameter is None or value is None:
        message = (
            f"{gathered.ref}: {word.text} is no value of {a(gathered.kind.title)}."
        )
        desk.error("no-value", message, word)
        return
    rough = about(to_quantity(value, parameter, Origin.WRITTEN))
    gathered.given[parameter.symbol] = rough


def settle_value(desk: Desk, gathered: Gathered, marked: Word | None) -> None:
    """Turn value, mark and tolerance into the quantity that the part has."""
    parameter = value_parameter(gathered.kind)
    if parameter is None or parameter.symbol in gathered.given:
        return
    if gathered.overridden and gathered.value:
        marked = None
    mark = (
        read_mark(desk, gathered.ref, marked, parameter.quantity.unit)
        if marked
        else None
    )
    if gathered.unreadable and not gathered.value:
        gathered.given[parameter.symbol] = unread(parameter)
    elif gathered.value:
        _keep_value(gathered, parameter, gathered.value[0], Origin.WRITTEN)
        if mark and marked:
            _compare_mark(desk, gathered, marked, mark)
    elif mark:
        _keep_value(gathered, parameter, mark, Origin.MARKED)


def _keep_value(
    gathered: Gathered, parameter: Parameter, value: Value, origin: Origin
) -> None:
    if gathered.tolerance is not None:
        value = value._replace(tolerance=gathered.tolerance)
    gathered.given[parameter.symbol] = to_quantity(value, parameter, origin)
    if value.tolerance is not None and value.number:
        gathered.part = replace(
            gathered.part, toleranced=gathered.part.toleranced | {parameter.symbol}
        )
    if value.second and value.second.unit:
        take_rating(gathered, value.second)


def _compare_mark(desk: Desk, gathered: Gathered, marked: Word, mark: Value) -> None:
    parameter = value_parameter(gathered.kind)
    told = parameter and gathered.given[parameter.symbol]
    if (
        told
        and told.typical is not None
        and abs(mark.number - told.typical) > 0.02 * abs(told.typical)
    ):
        message = (
            f"{gathered.ref}: the mark {marked.text} does not mean the value written."
        )
        hint = "The written value is kept; a repair may have fitted another part."
        desk.doubt("mark-differs", message, marked, hint)
