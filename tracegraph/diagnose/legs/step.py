"""The readings on a part with three legs: how each is taken, and its short name."""

import re
from enum import StrEnum
from itertools import permutations
from typing import NamedTuple

from tracegraph.stage.reading import Mode


class Way(StrEnum):
    """How a reading is prepared, besides joining all three legs before it."""

    PLAIN = "plain"
    OHMS = "ohms"
    CHARGED_UP = "charged up"  # red touches the third leg first, black stays
    CHARGED_DOWN = "charged down"  # black touches the third leg first, red stays
    PULLED_UP = "pulled up"  # 100 k from the third leg to red's
    PULLED_DOWN = "pulled down"  # 100 k from the third leg to black's
    JOINED_UP = "joined up"  # third leg joined to red's
    JOINED_DOWN = "joined down"  # third leg joined to black's
    TOUCHED = "touched"  # red bridged to the third leg for a moment, probes held


HELPER_OHMS = 100e3
JOIN_FIRST = "join all three legs for a moment"
_THROUGH = {
    "k": (Way.PULLED_UP, Way.PULLED_DOWN),
    "j": (Way.JOINED_UP, Way.JOINED_DOWN),
}
_KEY = re.compile(
    r"([123])([123])(?:(r)|([+-])([123])|([kj])([123])([123])|(t)([123]))?", re.ASCII
)


class Step(NamedTuple):
    """One reading between two of the legs 1, 2 and 3.

    Attributes:
        red: Leg under the red probe.
        black: Leg under the black probe.
        way: How it is prepared.
        why: What it is for, in a few words; empty in the fixed list.
    """

    red: int
    black: int
    way: Way = Way.PLAIN
    why: str = ""

    @property
    def third(self) -> int:
        """The leg under no probe."""
        return 6 - self.red - self.black

    @property
    def mode(self) -> Mode:
        """What the meter is set to."""
        return Mode.OHMS if self.way is Way.OHMS else Mode.DIODE

    @property
    def key(self) -> str:
        """The short name, as typed: `12`, `12r`, `12+3`, `12k13`, `12j23`, `12t3`."""
        return f"{self.red}{self.black}{self._tail()}"

    def _tail(self) -> str:
        red, black, third = self.red, self.black, self.third
        return {
            Way.PLAIN: "",
            Way.OHMS: "r",
            Way.CHARGED_UP: f"+{third}",
            Way.CHARGED_DOWN: f"-{third}",
            Way.PULLED_UP: f"k{_ordered(red, third)}",
            Way.PULLED_DOWN: f"k{_ordered(black, third)}",
            Way.JOINED_UP: f"j{_ordered(red, third)}",
            Way.JOINED_DOWN: f"j{_ordered(black, third)}",
            Way.TOUCHED: f"t{third}",
        }[self.way]

    @property
    def words(self) -> str:
        """What the hands do, as a phrase."""
        red, black, third = self.red, self.black, self.third
        probes = f"red on leg {red}, black on leg {black}"
        return {
            Way.PLAIN: f"{probes}, diode test",
            Way.OHMS: f"{probes}, ohms",
            Way.CHARGED_UP: f"red on leg {third}, black on leg {black}, then move red "
            f"to leg {red} (touch nothing else), diode test",
            Way.CHARGED_DOWN: f"red on leg {red}, black on leg {third}, then move black "
            f"to leg {black} (touch nothing else), diode test",
            Way.PULLED_UP: f"100 k from leg {third} to leg {red}; {probes}, diode test",
            Way.PULLED_DOWN: f"100 k from leg {third} to leg {black}; {probes}, "
            "diode test",
            Way.JOINED_UP: f"leg {third} joined to leg {red}; {probes}, diode test",
            Way.JOINED_DOWN: f"leg {third} joined to leg {black}; {probes}, diode test",
            Way.TOUCHED: f"{probes}, held; bridge leg {third} to leg {red} for a "
            "moment, let go, then read, diode test",
        }[self.way]


FIXED = tuple(Step(red, black) for red, black in permutations((1, 2, 3), 2))
"""The six readings that always come first; all three legs are joined before each."""


class UnknownStepError(ValueError):
    """What was typed names no reading."""


def step_of(key: str) -> Step:
    """Return the step of a short name.

    Raises:
        UnknownStepError: It names none.

    >>> step_of("12k13").way, step_of("31+2").third
    (<Way.PULLED_UP: 'pulled up'>, 2)
    """
    found = _KEY.fullmatch(key.strip().lower())
    if found is None or found[1] == found[2]:
        raise UnknownStepError(_told(key))
    red, black = int(found[1]), int(found[2])
    step = Step(red, black)
    if found[3]:
        return step._replace(way=Way.OHMS)
    third = str(step.third)
    if found[4] and found[5] == third:
        return step._replace(
            way=Way.CHARGED_UP if found[4] == "+" else Way.CHARGED_DOWN
        )
    if found[9] and found[10] == third:
        return step._replace(way=Way.TOUCHED)
    if found[6]:
        ends, (up, down) = {found[7], found[8]}, _THROUGH[found[6]]
        if ends == {str(red), third}:
            return step._replace(way=up)
        if ends == {str(black), third}:
            return step._replace(way=down)
    if found[4] or found[6] or found[9]:
        raise UnknownStepError(_told(key))
    return step


def _told(key: str) -> str:
    return (
        f"{key} names no reading: two different legs of 1, 2 and 3, red first, such as "
        "12; 12r for ohms; with the third leg 12+3, 12-3, 12k13, 12j13, 12t3"
    )


def _ordered(a: int, b: int) -> str:
    return f"{min(a, b)}{max(a, b)}"
