"""How numbers are written with their letters: `4k7`, `0,22R`, `18kHz`, `5V1`."""

import re
from collections.abc import Iterator, Mapping
from math import isfinite
from typing import NamedTuple

from tracegraph.values.codes import TOLERANCES


class Unit(NamedTuple):
    """How values of a unit are written.

    Attributes:
        symbols: Names that may follow, case-folded, longest first.
        powers: Multiplier letters and their powers of ten; `M` and `m` differ.
        point: Whether the symbol may stand for the decimal point (`5V1`).
        toleranced: Whether a tolerance letter may follow (`4K7J`).
    """

    symbols: tuple[str, ...]
    powers: Mapping[str, int]
    point: bool = False
    toleranced: bool = False


_SMALL = {"p": -12, "n": -9, "u": -6, "m": -3}
_OHM = "Ω".casefold()  # the ohm sign and the Greek capital fold to the same letter
UNITS: Mapping[str, Unit] = {
    "ohm": Unit(
        ("ohms", "ohm", _OHM),
        {"r": 0, "e": 0, "m": -3, "k": 3, "M": 6, "g": 9},
        toleranced=True,
    ),
    "F": Unit(("f",), _SMALL, point=True, toleranced=True),
    "H": Unit(
        ("h",), {"n": -9, "u": -6, "r": -6, "m": -3}, point=True, toleranced=True
    ),
    "V": Unit(("vdc", "vac", "v"), {"n": -9, "u": -6, "m": -3, "k": 3}, point=True),
    "V/dec": Unit(("v/dec", "v"), {"u": -6, "m": -3}),
    "A": Unit(("a",), {**_SMALL, "k": 3}, point=True),
    "W": Unit(("w",), {"u": -6, "m": -3, "k": 3, "M": 6}, point=True),
    "Hz": Unit(("hz",), {"m": -3, "k": 3, "M": 6, "g": 9}),
    "s": Unit(("sec", "s"), _SMALL),
    "K": Unit(("k",), {}),
    "C": Unit(("°c", "degc", "c"), _SMALL),  # degrees, or coulombs of gate charge
    "%": Unit(("%",), {}),
    "turns": Unit(("turns", "turn"), {}),
    "": Unit(("%",), {**_SMALL, "k": 3, "M": 6, "g": 9}),
}
_PLAIN = Unit((), {**_SMALL, "k": 3, "M": 6})


class Literal(NamedTuple):
    """A number read as written.

    Attributes:
        number: With its multiplier applied.
        letter: The multiplier letter, or empty.
        symbol: The unit's symbol, case-folded, or empty.
        tolerance: The tolerance letter, or empty.
        digits: The bare digits where nothing but digits was written, else empty.
        grouped: Whether its comma may have been meant to group thousands (`4,700`).
    """

    number: float
    letter: str
    symbol: str
    tolerance: str
    digits: str
    grouped: bool = False

    @property
    def bare(self) -> bool:
        """Whether neither a multiplier nor a unit was written."""
        return not (self.letter or self.symbol)


def letter(character: str) -> str:
    """Return a multiplier letter as the tables have it: only `M` and `m` differ."""
    if character in "Mm":
        return character
    return {"µ": "u", "μ": "u"}.get(character, character.lower())


# sign, number, letters, digits after a letter, letters
_SHAPE = re.compile(
    r"([+\-−]?)(\d+(?:[.,]\d*)?|[.,]\d+|)([^\d\s.,+−-]*)(\d*)([^\d\s.,+−-]*)", re.ASCII
)
_LONGEST = 48  # characters; no value is longer, and a slip of the paste often is
_LEADING = frozenset("rkMnpu")  # may stand before all digits: R47, n47


def read_literal(text: str, unit: str) -> Literal | None:
    """Return the number that a text says in a unit, or None.

    >>> read_literal("4K7J", "ohm").number
    4700.0
    """
    text = re.sub(r"(?<=[\d.,])\s+(?=[^\d\s])", "", text.strip())
    shape = _SHAPE.fullmatch(text) if len(text) <= _LONGEST else None
    if shape is None:
        return None
    sign, number, before, after, end = shape.groups()
    spec = UNITS.get(unit, _PLAIN)
    if after:
        found = _pointed(number, before, after, end, spec)
    else:
        found = _suffixed(number, before, spec)
    if found is None or not isfinite(found.number):
        return None
    return found._replace(number=-found.number) if sign in {"-", "−"} else found


def _pointed(
    whole: str, point: str, fraction: str, end: str, spec: Unit
) -> Literal | None:
    """Return a number whose letter stands for the decimal point, or None."""
    mark = letter(point) if len(point) == 1 and point != "e" else ""  # not 1e3
    power = spec.powers.get(mark)
    symbol = spec.symbols[-1] if spec.point else ""
    if power is None and symbol and mark.lower() == symbol and whole:
        mark, power = symbol, 0
    if power is None or (not whole.isdigit() and (whole or mark not in _LEADING)):
        return None
    # A type number (1N4148) is no value: no letter has many digits after it.
    if len(fraction) > {"r": 4, "e": 4, "k": 3, "M": 3}.get(mark, 2):
        return None
    for own, tolerance in _endings(end, spec):
        number = float(f"{whole}.{fraction}e{power}")
        named = own or (symbol if mark == symbol else "")
        return Literal(number, mark, named, tolerance, "")
    return None


def _suffixed(number: str, suffix: str, spec: Unit) -> Literal | None:
    """Return a plain number with its multiplier, symbol and tolerance, or None."""
    if not number:
        return None
    plain = number.replace(",", ".")
    head = letter(suffix[:1]) if suffix else ""
    multiplied = ((head, suffix[1:]),) if head in spec.powers else ()
    readings = [
        (mark, symbol, tolerance)
        for mark, rest in (*multiplied, ("", suffix))
        for symbol, tolerance in _endings(rest, spec)
    ]
    if not readings:
        return None
    mark, symbol, tolerance = min(readings, key=lambda reading: bool(reading[2]))
    value = float(f"{plain}e{spec.powers.get(mark, 0)}")
    digits = number if number.isdigit() and not (mark or symbol) else ""
    grouped = re.fullmatch(r"[1-9]\d{0,2},\d{3}", number, re.ASCII) is not None
    return Literal(value, mark, symbol, tolerance, digits, grouped)


def _endings(text: str, spec: Unit) -> Iterator[tuple[str, str]]:
    """Yield what may end a value: a symbol, a tolerance letter, both or nothing."""
    folded = text.casefold()
    if not text or folded in spec.symbols:
        yield folded, ""
    if spec.toleranced and text[-1:] in {*TOLERANCES, "Z"}:
        rest = folded[:-1]
        if not rest or rest in spec.symbols:
            yield rest, text[-1]
