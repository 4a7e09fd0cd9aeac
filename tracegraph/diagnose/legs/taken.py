"""A reading that was taken on the part, and how what was typed becomes one."""

from math import isfinite
from typing import NamedTuple

from tracegraph.diagnose.legs.step import Step
from tracegraph.display import show
from tracegraph.meter.profile import Profile
from tracegraph.stage.meaning.displays import read_display
from tracegraph.stage.reading import UNITS, Mode, Shown

LEFT_CHARGE = -0.02  # volts below which something in the part still holds a charge
SHORT_VOLTS = 0.04  # what a beep in diode test says at least: below 40 ohm at 1 mA


class Taken(NamedTuple):
    """One reading on the part.

    Attributes:
        step: How it was taken.
        shown: The number in SI units, or OL, or a beep.
        resolution: Step of the last digit; 0 if no number.
    """

    step: Step
    shown: float | Shown
    resolution: float = 0.0

    @property
    def words(self) -> str:
        """The display as a person reads it."""
        if isinstance(self.shown, Shown):
            return str(self.shown)
        return show(self.shown, UNITS[self.step.mode])


class UnreadableError(ValueError):
    """What was typed is no display of this meter."""


def taken(step: Step, text: str, profile: Profile) -> Taken:
    """Return the reading that a display stands for.

    Raises:
        UnreadableError: It is none, or none that this meter shows.
    """
    words = tuple(text.split()) or ("OL",)
    found = read_display(words, step.mode)
    if found is None and step.mode is Mode.DIODE:
        beep = read_display(words, Mode.BEEP)
        found = beep if beep and beep.shown is Shown.BEEP else None
    if found is None:
        raise UnreadableError(
            f"{text.strip()} is no display: a number as it stands there (0.612, .612 or "
            "612 in diode test; 4.7k in ohms), OL, or b for a beep"
        )
    if found.shown in {Shown.CLIMBS, Shown.UNSTEADY}:
        raise UnreadableError("join all three legs, and read it when it rests")
    if found.at_least:
        return Taken(step, Shown.OPEN)
    shown = found.shown
    if isinstance(shown, float):
        _check(step.mode, shown, profile)
    resolution = 0.0 if shown == 0 else found.resolution  # 0 is short for 0.000
    return Taken(step, shown, resolution)


def _check(mode: Mode, shown: float, profile: Profile) -> None:
    (*_, highest) = profile.scales(mode)
    if not isfinite(shown):
        raise UnreadableError(f"{shown} is no display")
    if shown < (LEFT_CHARGE if mode is Mode.DIODE else 0.0):
        raise UnreadableError(
            "below zero: something still holds a charge, or the leads are exchanged; "
            "join all three legs and take it again"
        )
    if shown > highest.full * 1.02:
        unit, name = UNITS[mode], profile.name
        raise UnreadableError(
            f"{show(shown, unit)} is more than meter {name} shows ({show(highest.full, unit)}); "
            "name your meter with --meter, or check the point"
        )
