"""Marks printed on parts: always a code where one fits, else the value itself."""

import re
from collections.abc import Callable, Mapping

from tracegraph.values import codes
from tracegraph.values.value import Value, shown, written_out


def marked(text: str, unit: str) -> Value | None:
    """Read the mark on a part."""
    reader = _READERS.get(unit)
    value = reader(text) if reader else None
    return value or written_out(text, unit)


def _marked_ohms(text: str) -> Value | None:
    """Read a resistor's code; `22R` is 22 ohm, and 1.65 ohm only in EIA-96."""
    text = text.upper()
    if text.endswith("R") and (ohms := codes.eia96(text)) is not None:
        return Value(float(text[:2]), "ohm", others=((ohms, "as an EIA-96 code"),))
    if milli := re.fullmatch(r"(\d*)L(\d+)|(\d+)L", text, re.ASCII):
        whole, fraction = milli[1] or milli[3] or "", milli[2] or ""
        return Value(float(f"{whole}.{fraction}e-3"), "ohm", coded=True)
    # K and M behind digits multiply: 100K is 100 k, not 10 ohm of 10 %.
    code = re.fullmatch(r"(\d+)([BCDFGJ]?)", text, re.ASCII)
    ohms = codes.resistor_digits(code[1]) if code else None
    if code is None or ohms is None:
        return None
    return Value(ohms, "ohm", codes.TOLERANCES.get(code[2]), coded=True)


_CAPACITOR = re.compile(
    r"(?P<before>\d[A-Z]|[GJACDEVT]|)(?P<digits>\d{3})(?P<letter>[BCDFGJKMZ]?)"
    r"(?P<after>\d[A-Z]|[AEVT]|)",
    re.ASCII,
)


def _marked_farads(text: str) -> Value | None:
    """Read a capacitor's code: `104`, `2A103J`, `106C`, `A5`."""
    if (small := codes.eia198(text)) is not None:
        return Value(small, "F", coded=True)
    code = _CAPACITOR.fullmatch(text.upper())
    farads = codes.capacitor_digits(code["digits"]) if code else None
    if code is None or farads is None:
        return None
    letter, rating = code["letter"], code["before"] or code["after"]
    # A letter C or D behind microfarads is a tantalum's voltage, not a tolerance.
    if letter in {"C", "D", "G", "J"} and farads >= 1e-6 and not rating:
        letter, rating = "", letter
    volts = codes.TANTALUM_VOLTS.get(rating, codes.rated_volts(rating))
    if rating and volts is None:
        return None
    second = None if volts is None else Value(volts, "V")
    tolerance = codes.capacitor_tolerance(letter, farads)
    return Value(farads, "F", tolerance, second=second, coded=True)


def _marked_volts(text: str) -> Value | None:
    """Read a zener's mark with its tolerance letter in front: `C5V1`."""
    if not re.fullmatch(r"[ABCD]\d+(V\d*)?", text.upper(), re.ASCII):
        return None
    value = shown(text[1:], "V")
    tolerance = {"A": 0.01, "B": 0.02, "C": 0.05, "D": 0.1}[text[0].upper()]
    return value._replace(tolerance=tolerance, coded=True) if value else None


def _marked_amperes(text: str) -> Value | None:
    """Read a fuse's mark: `T3.15A`, `F500mAH250V` (letters of IEC 60127, memory)."""
    fuse = re.fullmatch(
        r"(?:FF|TT|[FMT]) ?([\d.,]+ ?m?A?)([LHE]?)(\d*)V?", text, re.ASCII
    )
    value = shown(fuse[1], "A") if fuse else None
    if fuse is None or value is None:
        return None
    second = Value(float(fuse[3]), "V") if fuse[3] else None
    return value._replace(second=second, coded=True)


_READERS: Mapping[str, Callable[[str], Value | None]] = {
    "ohm": _marked_ohms,
    "F": _marked_farads,
    "V": _marked_volts,
    "A": _marked_amperes,
}
