"""Codes printed on parts: digits, EIA-96, letters for tolerance and voltage.

Sources, all from memory: IEC 60062 (letters, three-digit code), EIA-96 (two digits
and a letter), EIA-198 (letter and digit on ceramic chips). Where makers differ the
habit of the trade is taken, marked "common practice, no source".
"""

import re
from types import MappingProxyType

from tracegraph.values.preferred import steps

# IEC 60062, tolerance letters, in fractions.
TOLERANCES = MappingProxyType(
    {"E": 5e-5, "L": 1e-4, "P": 2e-4, "W": 5e-4, "B": 1e-3, "C": 2.5e-3, "D": 5e-3}
    | {"F": 0.01, "G": 0.02, "H": 0.03, "J": 0.05, "K": 0.1, "M": 0.2, "N": 0.3}
)
# IEC 60062, capacitors below 10 pF: the letters mean picofarads.
_PICOFARADS = MappingProxyType({"B": 0.1, "C": 0.25, "D": 0.5, "F": 1.0, "G": 2.0})

# EIA-96 multipliers: both letters of each pair are met on chips.
_EIA96_POWERS = MappingProxyType(
    {"Z": -3, "Y": -2, "R": -2, "X": -1, "S": -1, "A": 0, "B": 1, "H": 1}
    | {"C": 2, "D": 3, "E": 4, "F": 5}
)
# Rated voltage: a digit for the decade and a letter (`2A` is 100 V); common practice.
_VOLTS = MappingProxyType(
    {"A": 1.0, "B": 1.25, "C": 1.6, "D": 2.0, "E": 2.5, "F": 3.15, "G": 4.0}
    | {"H": 5.0, "J": 6.3, "K": 8.0, "V": 3.5, "W": 4.5}
)
# Rated voltage of tantalum chips: one letter; common practice, no source.
TANTALUM_VOLTS = MappingProxyType(
    {"G": 4.0, "J": 6.3, "A": 10.0, "C": 16.0, "D": 20.0, "E": 25.0}
    | {"V": 35.0, "T": 50.0}
)
_EIA198_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # the 24 values of E24 in order
_EIA198_SMALL = MappingProxyType(
    {"a": 2.5, "b": 3.5, "d": 4.0, "e": 4.5, "f": 5.0, "m": 6.0}
    | {"n": 7.0, "t": 8.0, "y": 9.0}
)


def resistor_digits(text: str) -> float | None:
    """Return ohms of a three- or four-digit code, or of a jumper's zeros.

    >>> resistor_digits("472"), resistor_digits("4702"), resistor_digits("000")
    (4700.0, 47000.0, 0.0)
    """
    if re.fullmatch(r"0{1,4}", text, re.ASCII):
        return 0.0
    if not re.fullmatch(r"[1-9]\d{1,2}[0-7]", text, re.ASCII):
        return None
    return float(f"{text[:-1]}e{text[-1]}")


def capacitor_digits(text: str) -> float | None:
    """Return farads of a three-digit picofarad code; 8 and 9 mean 0.01 and 0.1.

    >>> capacitor_digits("104"), capacitor_digits("229")
    (1e-07, 2.2e-12)
    """
    if not re.fullmatch(r"[1-9]\d[0-9]", text, re.ASCII):
        return None
    power = {"8": -2, "9": -1}.get(text[2], int(text[2]))
    return float(f"{text[:2]}e{power - 12}")


def inductor_digits(text: str) -> float | None:
    """Return henries of a three-digit microhenry code.

    >>> inductor_digits("101")
    0.0001
    """
    if not re.fullmatch(r"[1-9]\d[0-6]", text, re.ASCII):
        return None
    return float(f"{text[:2]}e{int(text[2]) - 6}")


def eia96(text: str) -> float | None:
    """Return ohms of an EIA-96 code; all of them are 1 % parts.

    >>> eia96("01C"), eia96("68X")
    (10000.0, 49.9)
    """
    text = text.upper()
    if not re.fullmatch(r"\d\d[A-Z]", text, re.ASCII):
        return None
    number, power = int(text[:2]), _EIA96_POWERS.get(text[2])
    if power is None or not 1 <= number <= 96:
        return None
    return float(f"{steps('E96')[number - 1]}e{power + 2}")


def eia198(text: str) -> float | None:
    """Return farads of a letter and a digit, as on small ceramic chips.

    >>> eia198("A5")
    1e-07
    """
    if not re.fullmatch(r"[A-Za-z]\d", text, re.ASCII):
        return None
    place = _EIA198_LETTERS.find(text[0])
    step = steps("E24")[place] if place >= 0 else _EIA198_SMALL.get(text[0])
    power = -1 if text[1] == "9" else int(text[1])
    return None if step is None else float(f"{step}e{power - 12}")


def rated_volts(text: str) -> float | None:
    """Return volts of a capacitor's voltage code.

    >>> rated_volts("2A"), rated_volts("1H")
    (100.0, 50.0)
    """
    if not re.fullmatch(r"[0-3][A-Z]", text, re.ASCII) or text[1] not in _VOLTS:
        return None
    return float(f"{_VOLTS[text[1]]}e{text[0]}")


def capacitor_tolerance(letter: str, farads: float) -> float | None:
    """Return a capacitor's tolerance letter as a fraction of its value.

    Below 10 pF the first letters are picofarads. Z is +80/-20 %: its wider side is
    returned, so that the true value is never left out.
    """
    if letter == "Z":
        return 0.8
    if 0 < farads < 9.999e-12 and letter in _PICOFARADS:
        return _PICOFARADS[letter] * 1e-12 / farads
    return TOLERANCES.get(letter)
