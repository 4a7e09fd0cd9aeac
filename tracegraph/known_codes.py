"""The codes a marking may be written in, the commonest first."""

import re
from collections.abc import Callable
from typing import NamedTuple

from tracegraph.marking import Value, decode_mark
from tracegraph.values import codes
from tracegraph.values.bands import colours, decode_bands
from tracegraph.values.preferred import is_usual


class Code(NamedTuple):
    """A code: when it applies, how it is read, and how it is told in words.

    Attributes:
        name: What people call it.
        source: The standard or habit behind it.
        shape: What a whole marking in this code looks like.
        read: Returns the value, or None where it is none after all.
        words: Tells how a marking is read.
        why: What speaks for this code.
        least: Least value that such parts are made in.
        most: Greatest value that such parts are made in.
        series: Whether such parts come in the values of IEC 60063.
    """

    name: str
    source: str
    shape: re.Pattern[str]
    read: Callable[[str], Value | None]
    words: Callable[[str], str]
    why: str
    least: float = 0.0
    most: float = float("inf")
    series: bool = True


def _of(unit: str) -> Callable[[str], Value | None]:
    """Return the reader of marks on parts of one unit."""
    return lambda text: decode_mark(text, unit)


def _code_of(unit: str) -> Callable[[str], Value | None]:
    """Return the reader of digit codes: a mark that is no code gives None."""

    def read(text: str) -> Value | None:
        value = decode_mark(text, unit)
        return value if value and value.coded else None

    return read


def _digits(text: str) -> str:
    """Return the digits of a code without its letters around them."""
    found = re.search(r"(?<!\d)\d{3,4}(?!\d)|(?<=\d[A-Z])\d{3}", text.upper())
    return found[0] if found else text


def _zeros(unit: str) -> Callable[[str], str]:
    """Return what tells a digit code in words, in the unit that it counts in."""

    def words(text: str) -> str:
        digits = _digits(text)
        if set(digits) == {"0"}:
            return "only zeros: a jumper"
        power = int(digits[-1])
        if unit == "pF" and power > 7:
            return f"{digits[:-1]} times {'0.01' if power == 8 else '0.1'}, in pF"
        plural = "zero" if power == 1 else "zeros"
        tail = f"{power or 'no'} {plural}"
        return f"{digits[:-1]} and {tail}, in {unit}"

    return words


def _eia96_words(text: str) -> str:
    """Tell an EIA-96 code in words."""
    step = codes.eia96(f"{text[:2]}A") or 0.0
    factor = (codes.eia96(text) or 0.0) / step if step else 0.0
    return f"{text[:2]} stands for {step:g}, {text[2].upper()} for times {factor:g}"


def _band_words(text: str) -> str:
    """Name the bands in full."""
    return ", ".join(colours(text) or ())


def _read_bands(text: str) -> Value | None:
    """Read colour bands from the first word on."""
    bands = colours(text)
    return decode_bands(bands) if bands else None


def _read_bands_back(text: str) -> Value | None:
    """Read colour bands from the other end, where that is another usual resistor."""
    bands = colours(text)
    if not bands or len(bands) < 4 or bands == bands[::-1]:
        return None
    value = decode_bands(bands[::-1])
    usual = value and (is_usual(value.number) or is_usual(value.number, "E96"))
    return value if usual else None


def _eia96_value(text: str) -> Value | None:
    """Read an EIA-96 code, whatever else it could be."""
    ohms = codes.eia96(text)
    return None if ohms is None else Value(ohms, "ohm", 0.01, coded=True)


def _says(words: str) -> Callable[[str], str]:
    """Return the same words for every text."""
    return lambda _text: words


def _shape(pattern: str) -> re.Pattern[str]:
    """Return a whole-text pattern without regard to case."""
    return re.compile(f"(?:{pattern})\\Z", re.ASCII | re.IGNORECASE)


CODES = (
    Code(
        "colour bands",
        "IEC 60062",
        _shape(r"[a-z\s,\-]+"),
        _read_bands,
        _band_words,
        "read from the end where the bands lie closest",
    ),
    Code(
        "colour bands from the other end",
        "IEC 60062",
        _shape(r"[a-z\s,\-]+"),
        _read_bands_back,
        _band_words,
        "also a usual value: look which end has the wider gap",
    ),
    Code(
        "jumper",
        "common practice, no source",
        _shape(r"0{1,4}"),
        _of("ohm"),
        _zeros("ohms"),
        "a link in a resistor's body",
    ),
    Code(
        "resistor, letter for the point",
        "IEC 60062",
        _shape(r"\d*[RKM]\d*[A-Z]?"),
        _of("ohm"),
        _says("the letter stands where the decimal point is"),
        "R, K and M are a resistor's letters",
    ),
    Code(
        "EIA-96 chip resistor",
        "EIA-96",
        _shape(r"\d\d[A-Z]"),
        _eia96_value,
        _eia96_words,
        "two digits and a letter: a 1 % chip",
        1e-1,
        1.1e7,
    ),
    Code(
        "resistor, thousandths of an ohm",
        "common practice, no source",
        _shape(r"\d*L\d*"),
        _of("ohm"),
        _says("L stands where the decimal point is, in milliohms"),
        "met on shunts",
        series=False,
    ),
    Code(
        "three-digit resistor code",
        "IEC 60062",
        _shape(r"[1-9]\d\d[GJ]?"),
        _code_of("ohm"),
        _zeros("ohms"),
        "what such digits on a black chip mean",
        0.99,
        1.1e7,
    ),
    Code(
        "four-digit resistor code",
        "IEC 60062",
        _shape(r"[1-9]\d{3}[BCDFGJ]?"),
        _code_of("ohm"),
        _zeros("ohms"),
        "what four digits on a chip mean, mostly a 1 % part",
        0.99,
        1.1e7,
    ),
    Code(
        "capacitor code",
        "IEC 60062",
        _shape(r"(\d[A-Z]|[A-Z])?[1-9]\d\d[A-Z]?(\d[A-Z]|[A-Z])?"),
        _code_of("F"),
        _zeros("pF"),
        "if it stands on a capacitor",
        9e-13,
        2e-3,
    ),
    Code(
        "capacitor, letter for the point",
        "IEC 60062",
        _shape(r"\d*[pnuµμ]\d*[A-Z]?(/\d+V?)?|\d*[.,]?\d+[pnuµμ]F?(/\d+V?)?"),
        _of("F"),
        _says("the letter gives pico, nano or micro and may stand for the point"),
        "p, n and µ are a capacitor's letters",
    ),
    Code(
        "capacitor, letter and digit",
        "EIA-198",
        _shape(r"[A-Z]\d"),
        _of("F"),
        _says("the letter is the value, the digit its zeros, in pF"),
        "met on small ceramic chips",
    ),
    Code(
        "capacitor in picofarads",
        "common practice, no source",
        _shape(r"[1-9]\d?[BCDFGJKM]?"),
        _of("F"),
        _says("one or two digits count picofarads"),
        "if it stands on a capacitor",
    ),
    Code(
        "inductor code",
        "IEC 60062",
        _shape(r"[1-9]\d\d[A-Z]?"),
        _code_of("H"),
        _zeros("µH"),
        "if it stands on a coil or choke",
        1e-8,
        1.0,
    ),
    Code(
        "inductor, letter for the point",
        "IEC 60062",
        _shape(r"\d*R\d+|\d*N\d*"),
        _of("H"),
        _says("R stands for the point in µH, N in nH"),
        "if it stands on a coil or choke",
    ),
    Code(
        "zener mark",
        "common practice, no source",
        _shape(r"[ABCD]\d+V\d*"),
        _of("V"),
        _says("the letter in front is the tolerance, V stands for the point"),
        "if it stands on a zener",
    ),
    Code(
        "fuse mark",
        "IEC 60127",
        _shape(r"(FF|TT|[FMT])\s?[\d.,]+\s?m?A?([LHE]?\d+V?)?"),
        _of("A"),
        _says("the letters in front are the speed: F fast, M medium, T slow"),
        "if it stands on a fuse",
        series=False,
    ),
)
