"""Every meaning that a marking can have, the likeliest first: `103`, `01C`, `2A103J`."""

from typing import NamedTuple

from tracegraph.known_codes import CODES, Code
from tracegraph.marking import Value, parse_any
from tracegraph.values.preferred import is_usual


class Meaning(NamedTuple):
    """One meaning of a marking.

    Attributes:
        number: The value in SI units.
        unit: Its unit.
        code: Name of the code: `three-digit resistor code`.
        words: How it is read: `10 and 3 zeros, in ohms`.
        tolerance: As a fraction, or None where the mark says none.
        volts: Rated voltage, where the mark says one.
        why: What speaks for or against this meaning.
        source: The standard or habit behind the code.
    """

    number: float
    unit: str
    code: str
    words: str
    tolerance: float | None
    volts: float | None
    why: str
    source: str


def readings_of(text: str) -> tuple[Meaning, ...]:
    """Return every meaning a marking can have, the likeliest first; none: empty.

    A meaning that gives no usual value of IEC 60063, or one outside what such parts
    are made in, goes behind the others and says so.

    >>> [(m.number, m.unit) for m in readings_of("103")]
    [(10000.0, 'ohm'), (1e-08, 'F'), (0.01, 'H'), (103.0, 'ohm')]
    """
    text = text.strip().strip('"')
    found = [
        (_doubt(value, code), _meaning(text, value, code))
        for code in CODES
        if code.shape.match(text) and (value := code.read(text)) is not None
    ]
    ranked = [meaning for _, meaning in sorted(found, key=lambda pair: bool(pair[0]))]
    return _distinct((*ranked, *_as_written(text, coded=bool(ranked))))


def _doubt(value: Value, code: Code) -> str:
    """Return what speaks against a meaning, or an empty text."""
    if value.number == 0:
        return ""
    if not code.least <= value.number <= code.most:
        return "hardly made in this size"
    series = "E96" if value.unit == "ohm" else "E24"
    if code.series and not (is_usual(value.number) or is_usual(value.number, series)):
        return "no usual value"
    return ""


def _meaning(text: str, value: Value, code: Code) -> Meaning:
    """Return a value read by a code as a meaning."""
    against = _doubt(value, code)
    return Meaning(
        value.number,
        value.unit,
        code.name,
        code.words(text),
        value.tolerance,
        value.second.number if value.second else None,
        f"{code.why}; but {against}" if against else code.why,
        code.source,
    )


def _as_written(text: str, *, coded: bool) -> tuple[Meaning, ...]:
    """Return what the text says if it is no code at all."""
    value = parse_any(text)
    # Nobody marks a temperature on a part: `01C` is no centigrade.
    if value is None or (coded and value.unit in {"C", "K", "s"}) or value.number < 0:
        return ()
    if not value.unit:
        value = value._replace(unit="ohm")
    volts = value.second.number if value.second else None
    why = "in a parts list or a note, not on a part" if text.isdigit() else "as written"
    return (
        Meaning(
            value.number,
            value.unit,
            "written out",
            "the number is the value",
            value.tolerance,
            volts,
            why,
            "IEC 60062",
        ),
    )


def _distinct(meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """Return meanings without those that give a value already given."""
    kept: dict[tuple[str, str], Meaning] = {}
    for meaning in meanings:
        kept.setdefault((f"{meaning.number:.6e}", meaning.unit), meaning)
    return tuple(kept.values())
