"""Meters written in the notation: the built-in ones, and the user's own."""

from collections.abc import Callable, Mapping
from pathlib import Path
from pkgutil import get_data
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.diagnostics import Problem, error
from tracegraph.marking import parse_any, parse_literal
from tracegraph.meter.profile import (
    BeepRange,
    CapRange,
    DiodeRange,
    OhmsRange,
    Profile,
    VoltsRange,
)
from tracegraph.notation.parser import parse
from tracegraph.notation.source import Source, from_bytes, from_text
from tracegraph.notation.syntax import MeterLine, RangeLine, Word

DEFAULT = "handheld"


class Meters(NamedTuple):
    """Meters read from a text, with what was wrong in it."""

    profiles: tuple[Profile, ...]
    problems: tuple[Problem, ...]


class UnknownMeterError(ValueError):
    """No meter of this name is built in or found beside the section."""


def built_in() -> Mapping[str, Profile]:
    """Return the meters that come with the tool, by name."""
    meters = read_meters(from_text("meters.trace", _built_in_text()))
    return MappingProxyType({one.name: one for one in meters.profiles})


def _built_in_text(name: str = "") -> str:
    """Return the built-in meters' lines, of one meter or of all; empty if none is so called."""
    text = (get_data("tracegraph.meter", "meters.trace") or b"").decode()
    if not name:
        return text
    blocks = text.split("\nmeter ")[1:]
    own = [one for one in blocks if one.startswith(f'"{name.lower()}"')]
    return f"meter {own[0]}" if own else ""


def find_meter(name: str, places: tuple[Path, ...] = ()) -> Profile:
    """Return a meter by its name, or by the path of its file.

    Args:
        name: Name of a built-in meter, of one in a `.trace` file of `places`, or a path.
        places: Folders to look in, first match wins.

    Raises:
        UnknownMeterError: There is none, or its file holds errors; says what there is.
    """
    if own := _built_in_text(name):
        return read_meters(from_text("meters.trace", own)).profiles[0]
    known = built_in()
    path = Path(name)
    paths = (
        [path]
        if path.is_file()
        else [p for place in places for p in sorted(place.glob("*.trace"))]
    )
    seen: list[str] = list(known)
    for one in paths:
        meters = read_meters(from_bytes(str(one), one.read_bytes()))
        for profile in meters.profiles:
            if one == path or profile.name.lower() == name.lower():
                _demand(meters, one)
                return profile
            seen.append(profile.name)
    raise UnknownMeterError(
        f"there is no meter called {name}; known: {', '.join(seen)}"
    )


def _demand(meters: Meters, path: Path) -> None:
    """Refuse a meter whose file holds errors: a wrong range gives wrong readings."""
    if meters.problems:
        first = meters.problems[0]
        line = f" line {first.span.line}" if first.span else ""
        raise UnknownMeterError(f"{path}{line}: {first.message}")


def read_meters(source: Source) -> Meters:
    """Return the meters that a text describes, and what could not be understood."""
    parsed = parse(source)
    profiles: list[Profile] = []
    problems = list(parsed.problems)
    for line in parsed.statements:
        if isinstance(line, MeterLine):
            profiles.append(Profile(line.name.text))
        elif isinstance(line, RangeLine) and profiles:
            try:
                profiles[-1] = _with_range(profiles[-1], line.words)
            except _BadRangeError as bad:
                problems.append(error("meter-range", str(bad), bad.word.span, bad.hint))
    return Meters(tuple(profiles), tuple(problems))


class _BadRangeError(ValueError):
    """A range line that does not say what a range needs."""

    def __init__(self, message: str, word: Word, hint: str = "") -> None:
        super().__init__(message)
        self.word = word
        self.hint = hint


class _Range:
    """The figures of a range line, by the word that stands before them."""

    _UNITS: Mapping[str, str] = MappingProxyType(
        {"open": "V", "behind": "ohm", "over": "V", "below": "ohm", "accuracy": "%"}
    )

    def __init__(self, words: tuple[Word, ...]) -> None:
        self.head = words[0]
        self.bare: list[Word] = []
        self.named: dict[str, float] = {}
        digits = False
        rest = iter(words[1:])
        for word in rest:
            key = word.text.lower()
            if key in self._UNITS:
                value = next(rest, None)
                if value is None:
                    raise _BadRangeError(f"{key} needs a value after it", word)
                self.named[key] = figure(value, self._UNITS[key])
                digits = key == "accuracy"
            elif digits:
                self.named["digits"] = figure(word, "")
                digits = False
            else:
                self.bare.append(word)

    def __getitem__(self, key: str) -> float:
        if key not in self.named:
            raise _BadRangeError(
                f"this {self.head.text} line lacks `{key}`",
                self.head,
                _EXAMPLES[self.head.text.lower()],
            )
        return self.named[key]

    def bare_figure(self, unit: str) -> float:
        """Return the value that stands without a word before it."""
        for word in self.bare:
            if parse_literal(word.text, unit) or _says(word, unit):
                return figure(word, unit)
        raise _BadRangeError(
            f"this {self.head.text} line lacks its {unit} value",
            self.head,
            _EXAMPLES[self.head.text.lower()],
        )

    def accuracy(self, fraction: float, digits: int) -> tuple[float, int]:
        """Return accuracy and digits, or the usual ones."""
        return self.named.get("accuracy", fraction), int(
            self.named.get("digits", digits)
        )


def _says(word: Word, unit: str) -> bool:
    """Whether a word means to be a value in this unit."""
    value = parse_any(word.text)
    return value is not None and value.unit in {unit, ""}


def figure(word: Word, unit: str) -> float:
    """Return the number of a word in SI units."""
    value = parse_literal(word.text, unit)
    if value is None:
        raise _BadRangeError(f"{word.text} is no value in {unit or 'digits'}", word)
    return value.number


_EXAMPLES: Mapping[str, str] = MappingProxyType(
    {
        "counts": "counts 6000",
        "ohms": "ohms 600R open 0.4V behind 1k2 accuracy 0.9% 3",
        "diode": "diode 1mA open 3.2V over 2V accuracy 0.5% 2",
        "beep": "beep open 3.2V behind 3k below 40R",
        "capacitance": "capacitance 100Hz 0.2V",
        "volts": "volts 10M accuracy 0.5% 2",
        "leads": "leads 0.15R",
        "red": "red minus",
    }
)


def _with_range(profile: Profile, words: tuple[Word, ...]) -> Profile:
    """Return the profile with one line more."""
    head = words[0].text.lower()
    if head not in _READERS:
        raise _BadRangeError(
            f"{words[0].text} is no range of a meter",
            words[0],
            f"known: {', '.join(_READERS)}",
        )
    return _READERS[head](profile, _Range(words))


def _ohms(profile: Profile, line: _Range) -> Profile:
    one = OhmsRange(
        line.bare_figure("ohm"), line["open"], line["behind"], *line.accuracy(0.01, 3)
    )
    return profile._replace(ohms=tuple(sorted((*profile.ohms, one))))


def _diode(profile: Profile, line: _Range) -> Profile:
    test = DiodeRange(
        line.bare_figure("A"), line["open"], line["over"], *line.accuracy(0.005, 2)
    )
    return profile._replace(diode=test)


def _beep(profile: Profile, line: _Range) -> Profile:
    return profile._replace(beep=BeepRange(line["open"], line["behind"], line["below"]))


def _cap(profile: Profile, line: _Range) -> Profile:
    test = CapRange(
        line.bare_figure("Hz"), line.bare_figure("V"), *line.accuracy(0.02, 5)
    )
    return profile._replace(cap=test)


def _volts(profile: Profile, line: _Range) -> Profile:
    return profile._replace(
        volts=VoltsRange(line.bare_figure("ohm"), *line.accuracy(0.005, 2))
    )


def _red(profile: Profile, line: _Range) -> Profile:
    side = line.bare[0].text.lower() if line.bare else ""
    if side not in {"plus", "minus"}:
        raise _BadRangeError(
            "red is plus or minus", line.head, "needle meters in ohms: red minus"
        )
    return profile._replace(red_plus=side == "plus")


_READERS: Mapping[str, Callable[[Profile, _Range], Profile]] = MappingProxyType(
    {
        "counts": lambda p, line: p._replace(counts=int(line.bare_figure(""))),
        "ohms": _ohms,
        "diode": _diode,
        "beep": _beep,
        "capacitance": _cap,
        "cap": _cap,
        "volts": _volts,
        "leads": lambda p, line: p._replace(leads=line.bare_figure("ohm")),
        "red": _red,
    }
)
