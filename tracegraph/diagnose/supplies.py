"""The supplies of a powered board, as they were read and not as the file says.

All that hangs on a rail which is not there reads nothing; the parts are not to blame
for it. So a rail that was read far from what the file says counts as it was read.
"""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.display import show
from tracegraph.quantity import Origin, Quantity, exact
from tracegraph.stage.reading import Block, Mode, Reading, Shown
from tracegraph.stage.stage import Input, Rail, Stage, State
from tracegraph.stage.state import StateError, find_state, in_state

ALLOWED = 0.05  # part of a rail's volts, beyond its tolerance, that loads may take
MISSING = 0.2  # part of its volts under which a rail is not there at all
METER = 0.02  # part by which a rail that was read may be off
PIN = 0.05  # part by which a controller's high level is off
PIN_LOW = 0.2  # volts up to which its low level stands
# The figures above: common practice, no source.


class Supply(NamedTuple):
    """A rail that is not what the file says.

    Attributes:
        rail: Its net.
        state: The state that the board stood in.
        volts: What was read.
        file: What the file says.
    """

    rail: str
    state: str
    volts: float
    file: float


Key = tuple[int, str, str]
"""How much had been done to the board, state, and net."""


class Supplies(NamedTuple):
    """What the rails of a log were read at.

    Attributes:
        off: Those that are not what the file says.
        good: Those that are.
    """

    off: Mapping[Key, Supply]
    good: frozenset[Key]

    def of(self, done: int, state: str, net: str) -> Supply | None:
        """Return what a rail was read at; in another state where it was not in this."""
        if (done, state, net) in self.good:
            return None
        others = (one for key, one in self.off.items() if key[::2] == (done, net))
        return self.off.get((done, state, net)) or next(others, None)

    def told(self, done: int, state: str) -> list[Supply | None]:
        """Return what all rails that are off count as at a moment."""
        nets = sorted({key[2] for key in self.off})
        return [self.of(done, state, net) for net in nets]


def supplies_of(stage: Stage) -> Supplies:
    """Return what the log of a section read its rails at."""
    off: dict[Key, Supply] = {}
    good: set[Key] = set()
    done = 0
    for entry in stage.log:
        if not isinstance(entry, Block):
            done += 1
            continue
        for one in entry.readings:
            found = _rail_read(stage, one)
            if found is None:
                continue
            rail, state, volts = found
            key = done, state, rail.net
            if _fits(rail, volts):
                good.add(key)
            else:
                off[key] = Supply(rail.net, state, volts, rail.volts.typical or 0.0)
    return Supplies(MappingProxyType(off), frozenset(good))


def is_number(reading: Reading) -> bool:
    """Return whether a reading is a number and no mere bound."""
    return not isinstance(reading.shown, Shown) and not reading.at_least


def _rail_read(stage: Stage, one: Reading) -> tuple[Rail, str, float] | None:
    """Return the rail that a reading is of, the state, and what it was read at."""
    if one.mode is not Mode.VOLTS or one.condition.cold or not is_number(one):
        return None
    try:
        state = find_state(stage, one.condition.power).name
    except StateError:
        return None
    ends = stage.net(one.red), stage.net(one.black)
    for rail in in_state(stage, state).rails:
        if rail.volts.typical and {rail.net, rail.over} == set(ends):
            sign = 1 if ends[0] == rail.net else -1
            return rail, state, sign * float(one.shown)
    return None


def _fits(rail: Rail, volts: float) -> bool:
    slack = ALLOWED * abs(rail.volts.typical or 0.0)
    return rail.volts.low - slack <= volts <= rail.volts.high + slack


def fed(stage: Stage, supplies: Supplies, done: int, state: str) -> Stage:
    """Return a powered section with its supplies as they stood.

    Args:
        stage: The section in its state.
        supplies: The rails that were read far off.
        done: How much had been done to the board.
        state: The state.
    """
    read = {one.net: supplies.of(done, state, one.net) for one in stage.rails}
    rails = tuple(_as_read(rail, read[rail.net]) for rail in stage.rails)
    off = {net.lower() for net, supply in read.items() if supply}
    states = tuple(_without(one, off) for one in stage.states)
    inputs = tuple(_spread(one) for one in stage.inputs)
    return replace(stage, rails=rails, states=states, inputs=inputs)


def _as_read(rail: Rail, supply: Supply | None) -> Rail:
    if supply is None:
        return rail
    off = METER * abs(supply.volts)
    low, high = supply.volts - off, supply.volts + off
    return rail._replace(volts=Quantity(supply.volts, low, high, "V", Origin.MEASURED))


def _without(state: State, nets: set[str]) -> State:
    """Return a state that does not set some rails any more."""
    kept = {
        net: told for net, told in state.settings.items() if net.lower() not in nets
    }
    return state._replace(settings=kept)


def _spread(one: Input) -> Input:
    """Return an input whose levels are not as exact as they were written."""
    high, low = one.high, one.low
    if high.typical and high.low == high.high:
        high = high.within(PIN)
    if low == exact(0.0, "V"):
        low = Quantity(0.0, 0.0, PIN_LOW, "V")
    return one._replace(high=high, low=low)


def supply_words(supplies: Supplies) -> tuple[str, ...]:
    """Return what is not there as the file says, in words."""
    return tuple(dict.fromkeys(_words(one) for one in supplies.off.values()))


def _words(one: Supply) -> str:
    read, file = show(one.volts, "V"), show(one.file, "V")
    if abs(one.volts) < MISSING * abs(one.file):
        return f"the rail {one.rail} is not there in {one.state}: {read}, not {file}"
    return f"the rail {one.rail} stands at {read} in {one.state}, not at {file}"
