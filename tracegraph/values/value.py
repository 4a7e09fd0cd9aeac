"""A value and what a plain text says of it: a number, or a code where it must be."""

from collections.abc import Callable
from typing import NamedTuple

from tracegraph.values import codes
from tracegraph.values.preferred import is_usual
from tracegraph.values.units import Literal, read_literal


class Value(NamedTuple):
    """A value read from a text.

    Attributes:
        number: In SI units; a percentage is a fraction (`45%` is 0.45).
        unit: `ohm F H V A W Hz s K C % turns`, or empty.
        tolerance: As a fraction of the value, or None where none was written.
        at: The test condition after `@`, in SI units.
        second: The second value (the `/25V` of `47u/25V`).
        coded: Whether the code of a mark was decoded.
        others: Other readings that it could have, each with words.
    """

    number: float
    unit: str
    tolerance: float | None = None
    at: float | None = None
    second: "Value | None" = None
    coded: bool = False
    others: tuple[tuple[float, str], ...] = ()


_UNSIGNED = frozenset({"ohm", "F", "H", "W", "Hz", "s", "%", "turns"})


def shown(text: str, unit: str) -> Value | None:
    """Read a number with its letters and nothing more."""
    found = read_literal(text, unit)
    if found is None:
        return None
    percent = unit == "%" or (not unit and text.endswith("%"))
    number = found.number / 100 if percent else found.number
    tolerance = _tolerance(found.tolerance, number, unit)
    return Value(number, unit, tolerance, others=_other_readings(found, unit))


def _tolerance(letter: str, number: float, unit: str) -> float | None:
    """Return what a tolerance letter means behind a value of that unit."""
    if unit == "F":
        return codes.capacitor_tolerance(letter, number)
    return codes.TOLERANCES.get(letter)


def _other_readings(found: Literal, unit: str) -> tuple[tuple[float, str], ...]:
    """Return what the same letters may have been meant to say."""
    if unit == "ohm" and found.letter == "m" and not found.symbol:
        return ((found.number * 1e9, "M for mega was meant"),)
    if found.grouped:
        return ((found.number * 1e3, "the comma groups thousands"),)
    return ()


def written_out(text: str, unit: str) -> Value | None:
    """Read a value written by a person, where a bare number may be a mark."""
    if unit == "ohm" and (ohms := codes.eia96(text)) and text[-1] not in "rR":
        return _eia96(text, ohms)
    found, value = read_literal(text, unit), shown(text, unit)
    if found is None or value is None or (value.number < 0 and unit in _UNSIGNED):
        return None
    bare = _BARE.get(unit)
    return bare(found, value) if bare and found.bare else value


def _eia96(text: str, ohms: float) -> Value:
    """Return an EIA-96 code's value; `47E` is also a habit of writing 47 ohm."""
    plain = ((float(text[:2]), "E written for ohm"),) if text[-1] in "eE" else ()
    return Value(ohms, "ohm", 0.01, coded=True, others=plain)


def _bare_ohms(found: Literal, value: Value) -> Value:
    """Decide between a number and a three- or four-digit code."""
    decoded = codes.resistor_digits(found.digits)
    if decoded is None or decoded == value.number:
        return value
    if found.tolerance:  # 472J: a tolerance letter follows a code, not a number
        other = ((value.number, f"{found.digits} ohm written out"),)
        return value._replace(number=decoded, coded=True, others=other)
    # Two significant digits only hold E24, three hold E96 as well.
    if not (is_usual(decoded) or (len(found.digits) > 3 and is_usual(decoded, "E96"))):
        return value
    if is_usual(value.number) or is_usual(value.number, "E96"):
        return value._replace(others=((decoded, f"if it is marked {found.digits}"),))
    return value._replace(number=decoded, coded=True)


def _bare_farads(found: Literal, value: Value) -> Value:
    """Read picofarads, a picofarad code, or microfarads behind a decimal point."""
    decoded = codes.capacitor_digits(found.digits)
    pico = value.number / 1e12
    others: tuple[tuple[float, str], ...] = ()
    if decoded is not None:
        number, coded = decoded, True
        if found.digits.endswith("0"):
            others = ((pico, "picofarads written out"),)
    elif found.digits:
        number, coded = pico, False
    else:
        number, coded, others = value.number / 1e6, False, ((pico, "picofarads"),)
    tolerance = _tolerance(found.tolerance, number, "F")
    return value._replace(
        number=number, tolerance=tolerance, coded=coded, others=others
    )


def _bare_henries(found: Literal, value: Value) -> Value:
    """Read microhenries, or a three-digit microhenry code."""
    decoded = codes.inductor_digits(found.digits)
    micro = value.number / 1e6
    if decoded is None:
        return value._replace(number=micro)
    others = ((micro, "microhenries written out"),) if decoded != micro else ()
    return value._replace(number=decoded, coded=True, others=others)


_BARE: dict[str, Callable[[Literal, Value], Value]] = {
    "ohm": _bare_ohms,
    "F": _bare_farads,
    "H": _bare_henries,
}
