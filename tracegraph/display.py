"""Values as a display shows them (`9.8 k`, `0.482 V`) and in notation (`4k7`)."""

from collections.abc import Mapping
from decimal import Decimal
from math import floor, isfinite, isnan, log10
from typing import NamedTuple

_SYMBOLS = {"ohm": "Ω", "C": "°C", "V/dec": "V/dec"}
_PREFIXES = {-12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G"}
# Powers of ten that a unit is shown in, each with the least value that takes it.
_SHOWN: Mapping[str, tuple[tuple[int, float], ...]] = {
    # A meter shows 0.482 V and 0.22 Ω, not milli; only below a hundredth it helps.
    "ohm": ((9, 1e9), (6, 1e6), (3, 1e3), (0, 1e-2), (-3, 0.0)),
    "V": ((3, 1e3), (0, 1e-2), (-3, 1e-3), (-6, 0.0)),
    "V/dec": ((0, 1.0), (-3, 0.0)),
    "F": ((0, 0.1), (-6, 1e-6), (-9, 1e-9), (-12, 0.0)),
    "H": ((0, 1.0), (-3, 1e-3), (-6, 1e-6), (-9, 0.0)),
    "A": ((3, 1e3), (0, 1.0), (-3, 1e-3), (-6, 1e-6), (-9, 1e-9), (-12, 0.0)),
    "W": ((3, 1e3), (0, 0.1), (-3, 1e-3), (-6, 0.0)),
    "J": ((3, 1e3), (0, 0.1), (-3, 1e-3), (-6, 1e-6), (-9, 0.0)),
    "Hz": ((6, 1e6), (3, 1e3), (0, 0.0)),
    "s": ((0, 1.0), (-3, 1e-3), (-6, 1e-6), (-9, 0.0)),
}


UNSEEN = 5e-4  # volts: less is 0 V on a handheld, and on any scope


def show(value: float, unit: str, digits: int = 3) -> str:
    """Return a value as a person reads it off a display, to `digits` digits.

    Ohms from a thousand up carry their multiplier alone, as on a meter. Digits before
    the decimal point are never rounded away.

    >>> show(9800, "ohm"), show(47, "ohm"), show(0.482, "V"), show(2.2e-9, "F")
    ('9.8 k', '47 Ω', '0.482 V', '2.2 nF')
    """
    if not isfinite(value):
        return "unknown" if isnan(value) else "open"
    if unit == "%":
        value = value * 100
    steps = _SHOWN.get(unit, ((0, 0.0),))
    near = abs(float(f"{value:.{digits - 1}e}"))  # 999.6 Ω is shown as 1 k
    power = next(power for power, least in steps if near >= least) if near else 0
    text = _plain(float(Decimal(repr(value)).scaleb(-power)), digits)
    tail = _tail(unit, power)
    return f"{text} {tail}".rstrip()


def seen(volts: float) -> float:
    """Return volts as a handheld shows them: none where they are less than its digit."""
    return 0.0 if abs(volts) < UNSEEN else volts


def volts(value: float, digits: int = 3) -> str:
    """Return volts as a person tells them: what no meter shows is nothing.

    >>> volts(14.37), volts(2e-9), volts(-0.6553, 2)
    ('14.4 V', '0 V', '-0.66 V')
    """
    return show(seen(value), "V", digits)


def _tail(unit: str, power: int) -> str:
    """Return what follows the digits: prefix and symbol."""
    if unit == "ohm" and power >= 3:
        return _PREFIXES[power]
    return _PREFIXES[power] + _SYMBOLS.get(unit, unit)


def _plain(value: float, digits: int) -> str:
    """Return a number rounded to `digits` digits, but never above the unit digit."""
    if value == 0:
        return "0"
    places = max(digits - 1 - floor(log10(abs(value))), 0)
    text = format(Decimal(repr(round(value, places))).normalize(), "f")
    return "0" if text == "-0" else text


class _Style(NamedTuple):
    """How a unit is written in notation.

    Attributes:
        letters: Multiplier letters by power of ten, greatest first.
        symbol: What ends the value.
        pointed: Most digits that may follow a letter standing for the point; 0: none.
    """

    letters: tuple[tuple[int, str], ...]
    symbol: str = ""
    pointed: int = 0


_OHM_LETTERS = ((9, "G"), (6, "M"), (3, "k"), (0, "R"))
_DOWN = ((-3, "m"), (-6, "u"), (-9, "n"), (-12, "p"))
_STYLES: Mapping[str, _Style] = {
    "ohm": _Style(_OHM_LETTERS, pointed=3),
    "F": _Style(((0, "F"), (-6, "u"), (-9, "n"), (-12, "p")), pointed=2),
    "H": _Style(((0, "H"), (-3, "m"), (-6, "u"), (-9, "n")), pointed=2),
    "V": _Style(((0, ""),), "V"),
    "V/dec": _Style(((0, ""), *_DOWN[:2]), "V"),
    "A": _Style(((3, "k"), (0, ""), *_DOWN), "A"),
    "W": _Style(((0, ""),), "W"),
    "Hz": _Style(((9, "G"), (6, "M"), (3, "k"), (0, "")), "Hz"),
    "s": _Style(((0, ""), *_DOWN), "s"),
    "K": _Style(((0, ""),), "K"),
    "C": _Style(((0, ""), *_DOWN[1:]), "C"),
    "%": _Style(((-2, ""),), "%"),
    "turns": _Style(((0, ""),), " turns"),
}


def written(value: float, unit: str) -> str:
    """Return a value in notation, exactly: reading it back gives the same number.

    Raises:
        ValueError: `value` is infinite or no number.

    >>> [written(ohms, "ohm") for ohms in (4700, 470, 0.22)]
    ['4k7', '470R', '0R22']
    >>> written(1e-7, "F"), written(5.1, "V"), written(0.45, "%")
    ('100n', '5.1V', '45%')
    """
    if not isfinite(value):
        raise ValueError(f"{value} cannot be written as a value")
    style = _STYLES.get(unit, _Style(((0, ""),)))
    exact = Decimal(repr(value))
    fitting = (pair for pair in style.letters if abs(value) >= 10.0 ** pair[0])
    power, letter = next(fitting, style.letters[-1])
    digits = format(exact.scaleb(-power).normalize(), "f")
    whole, _, fraction = digits.partition(".")
    if fraction and style.pointed and len(fraction) <= style.pointed:
        return f"{whole}{letter}{fraction}"
    return f"{digits}{letter}{style.symbol}"
