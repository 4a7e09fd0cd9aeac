"""Sections written in a test, and what is told of them."""

from functools import cache

from tracegraph.levels.levels import InState, Levels, levels
from tracegraph.meter.live.level import Level
from tracegraph.meter.profile_file import find_meter
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

METER = find_meter("handheld")


def section(text: str) -> Stage:
    """Return a section; it must be free of errors."""
    stage = read(from_text("bench", text))
    assert not [one for one in stage.problems if one.severity == "error"]
    return stage


@cache
def told(text: str) -> Levels:
    """Return the levels of a section in all its states."""
    return levels(section(text), METER)


def in_state(text: str, state: str) -> InState:
    """Return a section in one of its states."""
    return next(one for one in told(text).states if one.state.name == state)


def level(text: str, state: str, net: str) -> Level:
    """Return the level of a net in a state."""
    live = in_state(text, state).live
    assert live
    found = live.level(net)
    assert found
    return found
