"""Quantities in the notation: value, tolerance, test condition, `?`, `about`."""

from math import isclose

from tracegraph.display import written
from tracegraph.quantity import Origin, Quantity
from tracegraph.stage.kind import Parameter
from tracegraph.stage.meaning.values import ABOUT
from tracegraph.stage.part import Part


def value_words(part: Part) -> list[str]:
    """Return a part's value, tolerance and mark as words of its line."""
    parameter = part.kind.parameters.get(part.kind.value)
    mark = [f'marked "{part.marked}"'] if part.marked else []
    told = part.given.get(part.kind.value)
    if parameter is None or told is None or (told.origin is Origin.MARKED and mark):
        return mark
    if told.typical is None:
        return ["?", *mark]
    text = written(told.typical, told.unit)
    if is_about(told):
        return [f"about {text}", *mark]
    return [text, *tolerance_word(part, parameter, told), *mark]


def is_about(told: Quantity) -> bool:
    """Return whether a value is the `about` of the notation: a factor either way."""
    if not told.typical:
        return False
    ends = sorted((told.typical / ABOUT, told.typical * ABOUT))
    return isclose(told.low, ends[0]) and isclose(told.high, ends[1])


def tolerance_word(part: Part, parameter: Parameter, told: Quantity) -> list[str]:
    """Return the tolerance where it is not the usual one, or was written."""
    share = spread(told)
    usual = isclose(share, parameter.tolerance, rel_tol=1e-6, abs_tol=1e-9)
    if (usual and parameter.symbol not in part.toleranced) or not told.typical:
        return []
    return [written(share, "%")]


def spread(told: Quantity) -> float:
    """Return the wider side of a quantity's interval as a fraction of its value."""
    if not told.typical:
        return 0.0
    wider = max(told.high - told.typical, told.typical - told.low)
    return round(wider / abs(told.typical), 9)


def setting_words(part: Part) -> list[str]:
    """Return the other parameters as `symbol=value` and the ratings behind `rating`."""
    others = [symbol for symbol in part.given if symbol != part.kind.value]
    settings = [
        f"{symbol}={_setting(part, part.kind.parameters[symbol])}"
        for symbol in others
        if symbol in part.kind.parameters
    ]
    ratings = [
        written(told.typical, told.unit)
        for symbol, told in part.given.items()
        if symbol not in part.kind.parameters and told.typical is not None
    ]
    return [*settings, *(["rating", *ratings] if ratings else [])]


def _setting(part: Part, parameter: Parameter) -> str:
    told = part.given[parameter.symbol]
    if told.typical is None:
        return "?"
    text = written(told.typical, told.unit)
    if told.at is not None and told.at != parameter.quantity.at:
        text += f"@{written(told.at, 'V' if told.unit == 'ohm' else 'A')}"
    tolerance = tolerance_word(part, parameter, told)
    return text + "".join(f"±{word}" for word in tolerance)
