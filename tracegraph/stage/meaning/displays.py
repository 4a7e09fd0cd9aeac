"""What a display showed, as people write it down: `OL`, `.482`, `> 20M`, `climbs 2k`."""

import re
from typing import NamedTuple

from tracegraph.marking import parse_literal
from tracegraph.stage.reading import UNITS, Mode, Shown

_OPEN = frozenset({"ol", "0l", "o.l", "o.l.", "0.l", "open", "over", "-ol"})
_BEEPS = frozenset({"yes", "b", "beep", "beeps", "y"})
_SILENT = frozenset({"no", "n", "none", "silent"})
_DIODE_MOST = 60.0  # volts; no meter tests a junction with more
_MILLIVOLTS = 10.0  # a diode reading of ten or more is millivolts
_POWERS = {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "k": 3, "K": 3}
_POWERS |= {"M": 6, "R": 0, "r": 0, "V": 0, "v": 0}


class Display(NamedTuple):
    """What a display showed.

    Attributes:
        shown: A number in SI units, or what stood there instead.
        resolution: The step of its last digit; 0 if it is no number.
        at_least: Whether it was only a lower bound.
        rate: Ohms a second that it climbed, where written.
    """

    shown: float | Shown
    resolution: float = 0.0
    at_least: bool = False
    rate: float | None = None


def read_display(texts: tuple[str, ...], mode: Mode) -> Display | None:
    """Return what the words after the probes say, or None.

    >>> read_display((".482",), Mode.DIODE), read_display(("1",), Mode.OHMS).shown
    (Display(shown=0.482, resolution=0.001, at_least=False, rate=None), <Shown.OPEN: 'OL'>)
    """
    first, *rest = (text.lower() for text in texts)
    if first == "climbs":
        value = parse_literal(texts[1], "ohm") if rest else None
        return Display(Shown.CLIMBS, rate=value.number if value else None)
    if first == ">":
        return _bound(texts[1], mode) if rest else None
    if first.startswith(">"):
        return _bound(texts[0][1:], mode)
    word = _word(" ".join((first, *rest)), mode)
    return word or (_number(texts[0], mode) if not rest else None)


def _word(text: str, mode: Mode) -> Display | None:
    if text == "unsteady":
        return Display(Shown.UNSTEADY)
    if mode is Mode.BEEP and (text in _BEEPS or text == "no beep" or text in _SILENT):
        return Display(Shown.BEEP if text in _BEEPS else Shown.SILENT)
    if text in _OPEN or (text == "1" and mode in {Mode.OHMS, Mode.DIODE, Mode.BEEP}):
        return Display(Shown.SILENT if mode is Mode.BEEP else Shown.OPEN)
    return None


def _bound(text: str, mode: Mode) -> Display | None:
    found = _number(text, mode)
    return found._replace(at_least=True) if found else None


def _number(text: str, mode: Mode) -> Display | None:
    value = parse_literal(text, UNITS[mode] or "ohm")
    if value is None:
        return None
    step = _step(text)
    bare = re.fullmatch(r"-?\d+([.,]\d*)?", text, re.ASCII)
    if mode is Mode.DIODE and bare and abs(value.number) >= _MILLIVOLTS:
        return Display(value.number / 1000, step / 1000)
    if not _can_stand(value.number, mode):
        return None
    return Display(value.number, step)


def _can_stand(number: float, mode: Mode) -> bool:
    """Return whether a display can show this: ohms and farads are never negative."""
    if mode is Mode.DIODE:
        return abs(number) <= _DIODE_MOST
    return number >= 0 or mode is Mode.VOLTS


def _step(text: str) -> float:
    """Return the step of the last digit: 10 for `0.58k`, 100 for `1k0`.

    >>> _step("0.58k"), _step("1k0"), _step("470")
    (10.0, 100.0, 1.0)
    """
    digits = re.search(r"(\d*)([.,]|[^\d\s.,+-])?(\d*)\s*(\D?)", text.lstrip("+-−"))
    if digits is None:
        return 0.0
    _, point, decimals, after = digits.groups()
    letter = after if not point or point in ".," else point
    return float(f"1e{_POWERS.get(letter, 0) - len(decimals)}")
