"""The readings of a log, each with the board as it stood at its moment.

A board under power stands in one of the section's states. A rail that was read there,
and is not what the file says, is taken as it was read: what hangs on it is not to blame.
"""

from dataclasses import replace
from typing import NamedTuple

from tracegraph.diagnose.supplies import (
    Supplies,
    fed,
    is_number,
    supplies_of,
)
from tracegraph.diagnose.verdict import Left
from tracegraph.meter.profile import Profile
from tracegraph.stage.alter import ChangeError, apply, happened
from tracegraph.stage.reading import (
    COLD,
    Block,
    Condition,
    Event,
    Mode,
    Reading,
    Shown,
)
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import StateError, find_state, in_state

NO_POWER = "volts of a board without power tell nothing: say the state, as `in run`"
ONLY_VOLTS = "taken under power, where only volts tell something"
MOVING = (Shown.CLIMBS, Shown.UNSTEADY)


class Moment(NamedTuple):
    """The board as it stood for some of the readings.

    Attributes:
        stage: The section then; nets keep the names that they had at first.
        done: What had been done to the board till then.
        key: What tells it from other moments of the same board.
        power: `cold`, or the state that it stood in.
    """

    stage: Stage
    done: tuple[Event, ...]
    key: str
    power: str = COLD

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
        supplies: What its rails were read at under power.
    """

    moments: tuple[Moment, ...]
    now: int
    taken: tuple[Taken, ...]
    left: tuple[Left, ...]
    supplies: Supplies = Supplies({}, frozenset())


class _Moments:
    """Boards met so far, each once."""

    def __init__(self, supplies: Supplies) -> None:
        self.places: dict[str, int] = {}
        self.boards: list[Moment] = []
        self.supplies = supplies

    def place(self, board: Stage, done: tuple[Event, ...], condition: Condition) -> int:
        """Return the index of a board under a condition.

        Raises:
            ChangeError: The condition speaks of what the board does not have.
            StateError: It names a state that is not declared.
        """
        power = condition.power
        if not condition.cold:
            power = find_state(board, power).name
        key = _key(done, condition._replace(power=power), self.supplies)
        if key not in self.places:
            stage = apply(board, condition.changes, keep_names=True)
            out = dict.fromkeys((*stage.unplugged, *condition.unplugged))
            stage = replace(stage, unplugged=tuple(out))
            one = Moment(stage, done, key)
            if power != COLD:
                one = _under_power(one, power, key, self.supplies)
            self.boards.append(one)
            self.places[key] = len(self.boards) - 1
        return self.places[key]


def _key(done: tuple[Event, ...], condition: Condition, supplies: Supplies) -> str:
    deeds = [(event.deed, event.target, event.words) for event in done]
    power, changes, out = condition.power, condition.changes, condition.unplugged
    read = [] if condition.cold else supplies.told(len(done), power)
    return f"{deeds} {changes} {sorted(out)} {power} {read}"


def _under_power(one: Moment, state: str, key: str, supplies: Supplies) -> Moment:
    """Return a board, as it lies, powered in a state."""
    stage = fed(in_state(one.stage, state), supplies, len(one.done), state)
    return Moment(stage, one.done, key, state)


def powered_now(log: Log, state: str) -> Moment:
    """Return the board after everything that was done, powered in a declared state."""
    now = log.moments[log.now]
    key = _key(now.done, Condition(power=state), log.supplies)
    return _under_power(now, state, key, log.supplies)


def log_of(stage: Stage, profile: Profile) -> Log:
    """Return the log of a section; what cannot be weighed is left out with a reason."""
    supplies = supplies_of(stage)
    moments = _Moments(supplies)
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
    boards = tuple(moments.boards)
    return Log(boards, now, tuple(taken), tuple(left), supplies)


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
    except (ChangeError, StateError) as fault:
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
    if reading.condition.cold is (reading.mode is Mode.VOLTS):
        return NO_POWER if reading.condition.cold else ONLY_VOLTS
    if not profile.scales(reading.mode):
        return f"the meter {profile.name} has no {reading.mode} range"
    if reading.shown in MOVING:
        return "the display still moved: write what it comes to rest at"
    if reading.mode is Mode.VOLTS and not is_number(reading):
        return "a voltmeter's OL or bound says too little: read it on a higher range"
    return ""
