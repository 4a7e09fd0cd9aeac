"""Values as people write them and as parts carry them: `4k7`, `47u/25V`, `472`.

A number without a letter is what it says where that is a usual value; where only its
decoding is one, it is a mark. What it could also be is kept in `Value.others`.
"""

import re
from collections.abc import Callable

from tracegraph.values.printed import marked
from tracegraph.values.units import read_literal
from tracegraph.values.value import Value, shown, written_out

__all__ = ["Value", "decode_mark", "parse_any", "parse_literal", "parse_value"]

_Reader = Callable[[str, str], Value | None]
_LONGEST = 60
_PART_WATT = re.compile(r"1/([248])\s*[Ww]")


def parse_value(text: str, unit: str) -> Value | None:
    """Return what a written value says in a known unit, or None.

    >>> parse_value("4k7", "ohm").number, parse_value("472", "ohm").number
    (4700.0, 4700.0)
    """
    return _tailed(text, unit, written_out)


def decode_mark(text: str, unit: str) -> Value | None:
    """Return what the mark on a part of that unit means, or None: always the code.

    >>> decode_mark("4700", "ohm").number
    470.0
    """
    return _tailed(text, unit, marked)


def parse_literal(text: str, unit: str) -> Value | None:
    """Return what a display or a scale says: never a code, and a sign is allowed.

    >>> parse_literal("472", "ohm").number, parse_literal("-.02", "V").number
    (472.0, -0.02)
    """
    return _tailed(text, unit, shown)


def parse_any(text: str) -> Value | None:
    """Return a value whose unit is told by its letters, or None.

    `k`, `M` and `R` alone mean ohms, `n`, `u` and `p` farads; a bare number has no
    unit. Designators look like values (`R47`): look them up first.

    >>> parse_any("5V1").unit, parse_any("2n2").unit, parse_any("4700").unit
    ('V', 'F', '')
    """
    if _PART_WATT.fullmatch(text.strip()):
        return parse_value(text, "W")
    head = re.split(r"[@/]|\s*(?:±|\+/?-)|\s+[\d.,]+\s*%", text.strip(), maxsplit=1)[0]
    unit = _unit_of(head)
    return None if unit is None else parse_literal(text, unit)


def _unit_of(text: str) -> str | None:
    """Return the unit that the letters of a plain value name, or None."""
    for unit in ("%", "Hz", "V", "A", "W", "H", "F", "ohm", "C", "s", "turns"):
        found = read_literal(text, unit)
        if found and found.symbol:
            return unit
    if re.fullmatch(r"\d{4,}\s*K", text, re.ASCII):  # 3435K: a thermistor's B
        return "K"
    for unit, letters in (("ohm", "rkMge"), ("F", "pnu"), ("", "m")):
        found = read_literal(text, unit)
        if found and found.letter and found.letter in letters:
            return unit
    return "" if read_literal(text, "") else None


def _tailed(text: str, unit: str, reader: _Reader) -> Value | None:
    """Read a value and its tails: tolerance, `@` condition, `/` second value."""
    text = text.strip()
    if not text or len(text) > _LONGEST:
        return None
    if unit == "W" and (power := _PART_WATT.fullmatch(text)):
        return Value(1 / int(power[1]), "W")
    text, tolerance = _without_tolerance(text)
    text, sign, condition = text.partition("@")
    text, slash, rest = text.partition("/")
    value = reader(text.strip(), unit)
    at = parse_any(condition) if sign else None
    second = _second(rest, unit) if slash else None
    if value is None or (sign and not at) or (slash and not second):
        return None
    return value._replace(
        tolerance=value.tolerance if tolerance is None else tolerance,
        at=at.number if at else None,
        second=second or value.second,
    )


def _without_tolerance(text: str) -> tuple[str, float | None]:
    """Split `10k 5%` or `10k±5%` into the value and a fraction."""
    found = re.search(r"(?:\s|±|\+/?-)\s*(\d+(?:[.,]\d+)?)\s*%$", text, re.ASCII)
    if not found or not text[: found.start()].strip():
        return text, None
    return text[: found.start()].rstrip(" ±+/-"), float(
        found[1].replace(",", ".")
    ) / 100


def _second(text: str, unit: str) -> Value | None:
    """Read what follows the slash; a capacitor's bare number is its voltage."""
    value = parse_any(text) if "/" not in text else None
    if value and not value.unit and unit == "F":
        return value._replace(unit="V")
    return value
