"""Which column of a table is which, and what people call a mode."""

import re
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

from tracegraph.asking.logbook.cells import Row
from tracegraph.diagnostics import Problem, error
from tracegraph.stage.reading import Mode

HOW = "The first line names the columns: red,black,mode,reading"
_NAMES = {
    "red": ("red", "+", "plus", "red probe", "red lead", "positive"),
    "black": ("black", "-", "minus", "black probe", "black lead", "negative"),
    "mode": ("mode", "range", "function", "setting"),
    "reading": ("reading", "shown", "display", "measured", "value", "reads"),
    "unit": ("unit", "units"),
    "bench": ("bench", "condition", "conditions"),
}
_MODES: Mapping[str, Mode] = MappingProxyType(
    {
        name: mode
        for mode, names in {
            Mode.OHMS: ("ohms", "ohm", "Ω", "r", "res", "resistance"),
            Mode.DIODE: ("diode", "diode test", "d"),
            Mode.BEEP: ("beep", "beeper", "continuity", "cont", "buzzer"),
            Mode.CAP: ("cap", "capacitance", "c"),
            Mode.VOLTS: ("volts", "volt", "voltage", "v", "dc volts", "dcv", "vdc"),
        }.items()
        for name in (one.casefold() for one in names)
    }
)
_NEEDED = {
    "red": "the red probe",
    "black": "the black probe",
    "reading": "the reading",
}

Columns = Mapping[str, int]


def columns_of(head: Row) -> Columns:
    """Return where each known column stands; the better known name of two wins."""
    titles = [_plain(cell.text) for cell in head.cells]
    found = {}
    for column, names in _NAMES.items():
        place = next((titles.index(name) for name in names if name in titles), None)
        if place is not None:
            found[column] = place
    return found


def names_probes(head: Row) -> bool:
    """Return whether a line can be the head of a table of readings."""
    return {"red", "black"} <= set(columns_of(head))


def missing_columns(head: Row | None, columns: Columns) -> Iterator[Problem]:
    """Yield an error for every column that a table of readings can't be without."""
    for column, what in _NEEDED.items():
        if column not in columns:
            message = f"No column is called {column}: {what} is missing."
            yield error("no-column", message, head.span if head else None, HOW)


def mode_called(text: str) -> Mode | None:
    """Return the mode that a word stands for, or None.

    >>> mode_called("Continuity"), mode_called("Ω"), mode_called("amps")
    (<Mode.BEEP: 'beep'>, <Mode.OHMS: 'ohms'>, None)
    """
    return _MODES.get(" ".join(text.casefold().split()))


def mode_names() -> Iterable[str]:
    """Return every word that stands for a mode."""
    return _MODES


def _plain(title: str) -> str:
    """Return a column's title in small letters, without what it has in brackets."""
    bare = re.sub(r"[(\[].*?[)\]]", "", title)
    return " ".join(bare.casefold().replace("_", " ").split())
