"""Colour bands of resistors (IEC 60062; colour abbreviations of IEC 60757; memory)."""

import re
from types import MappingProxyType

from tracegraph.values.value import Value

_COLOURS = (
    *("black", "brown", "red", "orange", "yellow"),
    *("green", "blue", "violet", "grey", "white"),
)
_SHORT = ("bk", "bn", "rd", "og", "ye", "gn", "bu", "vt", "gy", "wh")
_ALSO = {"purple": "violet", "gray": "grey", "gd": "gold", "sr": "silver", "pk": "pink"}
_NAMES = MappingProxyType(
    {name: name for name in (*_COLOURS, "gold", "silver", "pink")}
    | dict(zip(_SHORT, _COLOURS, strict=True))
    | _ALSO
)
_DIGITS = MappingProxyType({colour: place for place, colour in enumerate(_COLOURS)})
_POWERS = MappingProxyType({**_DIGITS, "gold": -1, "silver": -2, "pink": -3})
_TOLERANCES = MappingProxyType(
    {"brown": 0.01, "red": 0.02, "orange": 5e-4, "yellow": 2e-4, "green": 5e-3}
    | {"blue": 2.5e-3, "violet": 1e-3, "grey": 1e-4, "gold": 0.05, "silver": 0.1}
)
# Parts per million a kelvin, the sixth band.
DRIFTS = MappingProxyType(
    {"black": 250, "brown": 100, "red": 50, "orange": 15, "yellow": 25}
    | {"green": 20, "blue": 10, "violet": 5, "grey": 1}
)


def colours(text: str) -> tuple[str, ...] | None:
    """Return the colours that a text lists, by their full names, or None.

    >>> colours("Brown BK orange gd")
    ('brown', 'black', 'orange', 'gold')
    """
    words = re.split(r"[\s,\-]+", text.strip().lower())
    names = tuple(_NAMES.get(word, "") for word in words)
    return names if all(names) else None


def decode_bands(bands: tuple[str, ...]) -> Value | None:
    """Return the resistor with these bands, first digit first, or None.

    One black band is a jumper; three bands are a 20 % part; of six the last is the
    drift with temperature and changes nothing here.

    >>> decode_bands(("brown", "black", "orange", "gold")).number
    10000.0
    """
    if bands == ("black",):
        return Value(0.0, "ohm", coded=True)
    if not 3 <= len(bands) <= 6 or (len(bands) == 6 and bands[5] not in DRIFTS):
        return None
    count = 2 if len(bands) < 5 else 3
    digits = [_DIGITS.get(band) for band in bands[:count]]
    power = _POWERS.get(bands[count])
    tolerance = _TOLERANCES.get(bands[count + 1]) if len(bands) > 3 else 0.2
    if power is None or tolerance is None or None in digits or digits[0] == 0:
        return None
    number = float("".join(map(str, digits)) + f"e{power}")
    return Value(number, "ohm", tolerance, coded=True)
