"""What a part is worth in numbers: value, mark, tolerance, rating, and what is odd there."""

from dataclasses import replace
from math import inf, isfinite
from types import MappingProxyType

from tracegraph.display import written
from tracegraph.marking import Value, decode_mark, parse_any, parse_value
from tracegraph.notation.syntax import Word
from tracegraph.quantity import Origin, Quantity, unknown
from tracegraph.stage.kind import Kind, Parameter, a
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.wording import Gathered
from tracegraph.stage.part import RATED

ABOUT = 1.5
"""`about 22R` may be this many times more or less."""

# What a part at the bench can have at all; beyond it a slip of the pen is likelier.
PLAUSIBLE = MappingProxyType(
    {
        "ohm": (1e-4, 1e9),
        "F": (1e-13, 10.0),
        "H": (1e-9, 100.0),
        "V": (1e-3, 1e5),
        "A": (1e-12, 1e4),
    }
)
MEANINGS = MappingProxyType(
    {"ohm": "a resistance", "F": "a capacitance", "H": "an inductance"}
    | {"V": "a voltage", "A": "a current", "Hz": "a frequency", "C": "a temperature"}
    | {"V/dec": "volts a decade", "s": "a time", "%": "a percentage", "W": "a power"}
    | {"K": "kelvins", "turns": "a number of turns"}
)


def to_quantity(value: Value, parameter: Parameter, origin: Origin) -> Quantity:
    """Return a read value with its own tolerance, else the usual one of its kind.

    A magnitude may be written with a sign (`vgsth=-3V`): the sign is dropped where
    the usual values are positive.
    """
    usual = parameter.quantity
    number = abs(value.number) if usual.low >= 0 else value.number
    at = usual.at if value.at is None else abs(value.at)
    told = Quantity(number, number, number, usual.unit, origin, at)
    return told.within(
        parameter.tolerance if value.tolerance is None else value.tolerance
    )


def about(quantity: Quantity) -> Quantity:
    """Return a value that is only roughly known: within a factor of 1.5 either way."""
    if quantity.typical is None:
        return quantity
    ends = sorted((quantity.typical / ABOUT, quantity.typical * ABOUT))
    return replace(quantity, low=ends[0], high=ends[1])


def unread(parameter: Parameter) -> Quantity:
    """Return the whole interval that a kind allows: the value could not be read."""
    usual = parameter.quantity
    return replace(unknown(usual.unit, usual.low, usual.high), at=usual.at)


def read_value(desk: Desk, ref: str, word: Word, parameter: Parameter) -> Value | None:
    """Return a written value, having asked about what is odd; None if it is none."""
    usual = parameter.quantity
    value = parse_value(word.text, usual.unit)
    if value is not None:
        likely = tuple(one for one in value.others if usual.low <= one[0] <= usual.high)
        _ask_about_reading(desk, ref, word, value._replace(others=likely))
        _ask_about_size(desk, ref, word, value)
    return value


def read_mark(desk: Desk, ref: str, word: Word, unit: str) -> Value | None:
    """Return what a mark means, or None after saying that it means nothing."""
    value = decode_mark(word.text, unit)
    if value is None:
        message = f"{ref}: the mark {word.text} is no code for {_meaning(unit)}."
        hint = "Give the value itself, or ? where it cannot be read."
        desk.doubt("unknown-mark", message, word, hint)
    return value


def is_amount(text: str) -> bool:
    """Return whether a text is a number with a unit or a multiplier letter."""
    value = parse_any(text)
    return value is not None


def _ask_about_reading(desk: Desk, ref: str, word: Word, value: Value) -> None:
    """Ask once where the same letters could say something else."""
    if word.text in desk.asked:
        return
    if value.coded or value.others:
        desk.asked.add(word.text)
    taken = written(value.number, value.unit)
    if value.coded:
        message = f"{ref}: {word.text} is read as a mark: {taken}."
        hint = f"Write {taken} to say so, or the value with its letter."
        desk.doubt("read-as-mark", message, word, hint)
    elif value.others:
        number, why = value.others[0]
        other = written(number, value.unit)
        message = (
            f"{ref}: {word.text} is taken as {taken}; it could be {other} ({why})."
        )
        hint = f"Write {taken} or {other}; what is printed on a part follows `marked`."
        desk.doubt("two-readings", message, word, hint)


def _ask_about_size(desk: Desk, ref: str, word: Word, value: Value) -> None:
    """Ask where no such part is made."""
    low, high = PLAUSIBLE.get(value.unit, (-inf, inf))
    size = abs(value.number)
    nothing = not size and value.unit == "ohm"  # a link is a resistor of 0R
    if isfinite(size) and not nothing and not low <= size <= high:
        message = f"{ref}: no part is made with {word.text} for {_meaning(value.unit)}."
        desk.doubt("odd-value", message, word, "Check the letter behind the number.")


def _meaning(unit: str) -> str:
    return MEANINGS.get(unit, "a value")


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
