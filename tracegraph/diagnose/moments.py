"""The readings of a log, each with the board as it stood at its moment."""

from dataclasses import replace
from typing import NamedTuple

from tracegraph.diagnose.verdict import Left
from tracegraph.meter.profile import Profile
from tracegraph.stage.alter import ChangeError, apply, happened
from tracegraph.stage.reading import Block, Condition, Event, Mode, Reading, Shown
from tracegraph.stage.stage import Stage

COLD_MODES = (Mode.OHMS, Mode.DIODE, Mode.BEEP, Mode.CAP)
MOVING = (Shown.CLIMBS, Shown.UNSTEADY)


class Moment(NamedTuple):
    """The board as it stood for some of the readings.

    Attributes:
        stage: The section then; nets keep the names that they had at first.
        done: What had been done to the board till then.
        key: What tells it from other moments of the same board.
    """

    stage: Stage
    done: tuple[Event, ...]
    key: str

    @property
    def renewed(self) -> frozenset[str]:
        """Parts that are not those of the beginning any more."""
        return frozenset(part for event in self.done for part in event.target)


class Taken(NamedTuple):
    """A reading that counts.

    Attributes:
        reading: As written.
        red: Net under the red probe, as the section calls it.
        black: Net under the black probe.
        moment: Index of its moment.
    """

    reading: Reading
    red: str
    black: str
    moment: int


class Log(NamedTuple):
    """A log, made ready to be weighed.

    Attributes:
        moments: The boards as they stood.
        now: Index of the moment after everything that was done, the bench left alone.
        taken: The readings that count, in order.
        left: The others, each with the reason.
    """

    moments: tuple[Moment, ...]
    now: int
    taken: tuple[Taken, ...]
    left: tuple[Left, ...]


class _Moments:
    """Boards met so far, each once."""

    def __init__(self) -> None:
        self.places: dict[str, int] = {}
        self.boards: list[Moment] = []

    def place(self, board: Stage, done: tuple[Event, ...], condition: Condition) -> int:
        """Return the index of a board under a condition.

        Raises:
            ChangeError: The condition speaks of what the board does not have.
        """
        deeds = [(event.deed, event.target, event.words) for event in done]
        key = f"{deeds} {condition.changes} {sorted(condition.unplugged)}"
        if key not in self.places:
            stage = apply(board, condition.changes, keep_names=True)
            out = dict.fromkeys((*stage.unplugged, *condition.unplugged))
            self.boards.append(Moment(replace(stage, unplugged=tuple(out)), done, key))
            self.places[key] = len(self.boards) - 1
        return self.places[key]


def log_of(stage: Stage, profile: Profile) -> Log:
    """Return the log of a section; what cannot be weighed is left out with a reason."""
    moments = _Moments()
    taken: list[Taken] = []
    left: list[Left] = []
    board, done = stage, tuple[Event, ...]()
    for entry in stage.log:
        if isinstance(entry, Block):
            for reading in entry.readings:
                found = _taken(reading, board, done, moments, profile)
                if isinstance(found, str):
                    left.append(Left(reading, found))
                else:
                    taken.append(found)
        else:
            board, done = _after(board, entry), (*done, entry)
    now = moments.place(board, done, Condition())
    return Log(tuple(moments.boards), now, tuple(taken), tuple(left))


def _after(board: Stage, event: Event) -> Stage:
    """Return the board after an event; one that does not fit it changes nothing."""
    try:
        return happened(board, event)
    except ChangeError:
        return board


def _taken(
    reading: Reading,
    board: Stage,
    done: tuple[Event, ...],
    moments: _Moments,
    profile: Profile,
) -> Taken | str:
    """Return a reading with its moment, or why it counts for nothing."""
    why = _worthless(reading, profile)
    if why:
        return why
    try:
        place = moments.place(board, done, reading.condition)
    except ChangeError as fault:
        return str(fault)
    stage = moments.boards[place].stage
    red, black = stage.net(reading.red), stage.net(reading.black)
    if red is None or black is None:
        missing = reading.red if red is None else reading.black
        return f"the section has no net or pin called {missing}"
    if red == black:
        return f"both probes stand on {red}"
    return Taken(reading, red, black, place)


def _worthless(reading: Reading, profile: Profile) -> str:
    """Return why a reading can't be weighed whatever the board; empty if it can."""
    if not reading.condition.cold or reading.mode not in COLD_MODES:
        return "taken under power: it does not count here yet"
    if not profile.scales(reading.mode):
        return f"the meter {profile.name} has no {reading.mode} range"
    if reading.shown in MOVING:
        return "the display still moved: write what it comes to rest at"
    return ""
