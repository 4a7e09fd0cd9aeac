"""Readings, the condition of the bench they were taken in, and the log's events."""

from enum import StrEnum
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.stage.change import Change


class Mode(StrEnum):
    """What the meter is set to."""

    OHMS = "ohms"
    DIODE = "diode"
    BEEP = "beep"
    CAP = "cap"
    VOLTS = "volts"


UNITS = {
    Mode.OHMS: "ohm",
    Mode.DIODE: "V",
    Mode.BEEP: "",
    Mode.CAP: "F",
    Mode.VOLTS: "V",
}

COLD = "cold"


class Condition(NamedTuple):
    """How the bench stood when a reading was, or is to be, taken.

    Attributes:
        power: `cold`, or the name of a declared state.
        changes: What was altered on the bench: parts out, legs lifted, stand-ins.
        joined: Nets joined and parted again before probing (a gate emptied first).
        after: Seconds since touching.
        unplugged: Nets whose plug is out, besides those of the whole section.
    """

    power: str = COLD
    changes: tuple[Change, ...] = ()
    joined: tuple[tuple[str, ...], ...] = ()
    after: float = 1.0
    unplugged: tuple[str, ...] = ()

    @property
    def cold(self) -> bool:
        """Whether nothing is powered."""
        return self.power == COLD


AS_IT_LIES = Condition()
"""Cold, nothing altered, a second after touching."""


class Shown(StrEnum):
    """A display that is no number."""

    OPEN = "OL"
    BEEP = "beep"
    SILENT = "no beep"
    CLIMBS = "climbs"
    UNSTEADY = "unsteady"


class Reading(NamedTuple):
    """One reading as a display showed it.

    Attributes:
        red: Net or pin (`Q11.b`) under the red probe.
        black: Net or pin under the black probe.
        mode: What the meter was set to.
        shown: The number in SI units, or what stood there instead of one.
        resolution: The step of the last digit written, in SI units; 0 if no number.
        at_least: Whether the display only gave a lower bound (`> 20M`).
        rate: Climb in ohms a second, where the display climbs and it was written.
        condition: How the bench stood.
        meter: Name of the meter's profile, or empty for the default.
        block: Title of its block.
        source: Where it is written.
    """

    red: str
    black: str
    mode: Mode
    shown: float | Shown
    resolution: float = 0.0
    at_least: bool = False
    rate: float | None = None
    condition: Condition = Condition()
    meter: str = ""
    block: str = ""
    source: Span | None = None


class Deed(StrEnum):
    """What was done to the board between two blocks of readings."""

    REPLACED = "replaced"
    FITTED = "fitted"
    REMOVED = "removed"
    CUT_LINK = "cut link"


class Event(NamedTuple):
    """Something done to the board, in its place among the readings.

    Attributes:
        deed: What was done.
        target: The part, or the two nets of a link, as written.
        changes: What it does to the stage; a cut link is `alter.happened`'s business.
        source: Where it is written.
        words: What was written of the new part, word by word.
    """

    deed: Deed
    target: tuple[str, ...]
    changes: tuple[Change, ...]
    source: Span | None = None
    words: tuple[str, ...] = ()


class Block(NamedTuple):
    """A run of readings under one title, with one meter.

    Attributes:
        title: As written; may be empty.
        meter: Name of the meter's profile, or empty for the default.
        condition: What holds for every reading of it.
        readings: The readings, in order.
    """

    title: str
    meter: str
    condition: Condition
    readings: tuple[Reading, ...]


LogEntry = Block | Event
