"""The levels of a section in its states: nets, devices, loads, and the walk in words."""

from collections.abc import Sequence
from typing import NamedTuple

from tracegraph.levels.device import devices
from tracegraph.levels.mood import Device
from tracegraph.levels.remarks import remarks
from tracegraph.levels.states import asked, left_out
from tracegraph.levels.stress import Load, loads
from tracegraph.levels.walk import walk
from tracegraph.meter.live.level import Live, live
from tracegraph.meter.live.standing import Standing, StandingError
from tracegraph.meter.profile import Profile
from tracegraph.stage.stage import Stage, State


class InState(NamedTuple):
    """A section in one state.

    Attributes:
        state: The state.
        live: Its levels; None where no steady level was found.
        devices: How every device stands.
        loads: What the parts bear, the closest to its limit first.
        walk: The walk in words, a sentence a device.
        remarks: What is odd about the state.
        error: Why there is no answer; empty where there is one.
    """

    state: State
    live: Live | None
    devices: tuple[Device, ...] = ()
    loads: tuple[Load, ...] = ()
    walk: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    error: str = ""


class Levels(NamedTuple):
    """The levels of a section.

    Attributes:
        stage: The section, every state in question declared.
        states: One of each state, in the order of the file.
        left_out: How many combinations of inputs were not worked out.
        meter: Name of the meter's profile.
    """

    stage: Stage
    states: tuple[InState, ...]
    left_out: int
    meter: str


def levels(stage: Stage, profile: Profile, state: str | None = None) -> Levels:
    """Return the levels of every declared state, or of every combination of inputs.

    Args:
        stage: The section.
        profile: The meter.
        state: Only this declared state.

    Raises:
        StateError: The section declares no such state.
    """
    section, names = asked(stage, state)
    found: list[tuple[State, Live | str]] = []
    near: Standing | None = None
    for name in names:
        own = next(one for one in section.states if one.name == name)
        try:
            told: Live | str = live(section, name, profile, near)
        except StandingError as fault:
            told = str(fault)
        if isinstance(told, Live):
            near = told.found[0]
        found.append((own, told))
    others = [told for _, told in found if isinstance(told, Live)]
    states = tuple(_in_state(own, told, others) for own, told in found)
    count = left_out(stage) if state is None else 0
    return Levels(section, states, count, profile.name)


def _in_state(own: State, told: Live | str, others: Sequence[Live]) -> InState:
    if isinstance(told, str):
        return InState(own, None, error=told)
    first = told.found[0]
    every, bears = devices(first), loads(first)
    before = next((one.found[0] for one in others if one.state != own.name), None)
    return InState(
        own,
        told,
        every,
        bears,
        walk(told, every, before),
        tuple(remarks(told, own, every, bears)),
    )
