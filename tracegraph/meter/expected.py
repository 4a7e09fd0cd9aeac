"""What a healthy section shows between two points, with everything known of it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from tracegraph.stage.reading import UNITS, Condition, Mode


class Bound(StrEnum):
    """What still holds where a part, value or path is unknown."""

    NONE = "none"  # nothing unknown moves this reading
    AT_MOST = "at_most"  # an unknown path can only lower it
    AT_LEAST = "at_least"  # an unknown value can only raise it
    ANYTHING = "anything"  # a junction is in play: it may go either way


class Case(NamedTuple):
    """One thing that a healthy section may lawfully show.

    Attributes:
        low: Least display in SI units; None where the case is OL.
        high: Greatest display; None where the case is OL.
        open: Whether the case shows, or may show, OL.
        why: When it is so, in the trade's words; empty for the only case.
        share: How usual it is among the cases, 0 to 1.
        display: What stands on the display.
    """

    low: float | None
    high: float | None
    open: bool
    why: str
    share: float
    display: str


@dataclass(frozen=True, slots=True)
class Expected:
    """The expected reading of one pair, direction and mode.

    Attributes:
        red: Net or pin under the red probe, as asked for.
        black: Net or pin under the black probe.
        mode: What the meter is set to.
        condition: How the bench stands.
        meter: Name of the meter's profile.
        cases: What it may lawfully show, the most usual first.
        typical: Typical display in SI units; None for OL, beeps, and where an unknown
            decides.
        low: Least display of 99.7 % of healthy boards; None where no case is a number.
        high: Greatest display likewise.
        worst_low: Least display with every part at its limit.
        worst_high: Greatest display with every part at its limit.
        may_be_open: Whether a healthy board may show OL.
        bound: Which bound holds against the unknowns.
        display: What the display shows: `9.8 k`, `0.482 V`, `OL`, `beep`.
        reason: Why, naming the parts that carry the current.
        parts: Those parts, the most important first.
        hidden: Parts across the probes that neither missing nor shorted change it.
        unproven: Parts across the probes whose absence alone would not show.
        uncertain: The unknowns that move this reading, the biggest first.
        ask: The one thing to do about them; empty if nothing is uncertain.
        early: What is seen about a second after touching, where that differs.
        settles: Seconds until it rests; infinite where it never does; 0 at once.
        residual: Worst Kirchhoff residual in amperes.
        error: Why there is no answer; empty where there is one.
    """

    red: str
    black: str
    mode: Mode
    condition: Condition
    meter: str
    cases: tuple[Case, ...] = ()
    typical: float | None = None
    low: float | None = None
    high: float | None = None
    worst_low: float | None = None
    worst_high: float | None = None
    may_be_open: bool = False
    bound: Bound = Bound.NONE
    display: str = ""
    reason: str = ""
    parts: tuple[str, ...] = ()
    hidden: tuple[str, ...] = ()
    unproven: tuple[str, ...] = ()
    uncertain: tuple[str, ...] = ()
    ask: str = ""
    early: str = ""
    settles: float = 0.0
    residual: float = 0.0
    error: str = ""

    @property
    def unit(self) -> str:
        """The SI unit of the numbers; empty for a beep."""
        return UNITS[self.mode]
