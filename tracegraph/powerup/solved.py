"""The levels and rail currents of a section's states, as far as a plan needs them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from tracegraph.meter.live.level import Level, Live, live
from tracegraph.meter.live.standing import Standing, StandingError
from tracegraph.meter.profile import Profile
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Remove
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Rail, Stage


class Solved(NamedTuple):
    """One state, solved.

    Attributes:
        state: Its name.
        names: All states that come to the same here, in a row.
        found: How it stands, and what a meter shows of it.
        amperes: What each rail gives.
    """

    state: str
    names: str
    found: Live
    amperes: dict[str, float]

    def level(self, net: str, over: str) -> Level | None:
        """Return the level of a net, if it is told over that very ground."""
        one = self.found.level(net)
        return one if one and one.ground == over else None

    def between(self, red: str, black: str) -> float | None:
        """Return the volts between two nets; None where unknown or nothing holds them."""
        one, other = self.found.level(red), self.found.level(black)
        if one is None or (other is None and one.ground != black):
            return None
        if other and other.ground != one.ground:
            return None
        down = 0.0 if other is None or one.ground == black else other.volts
        if one.volts is None or down is None or one.shown is None:
            return None
        return one.volts - down


def alone(stage: Stage, rails: Sequence[Rail], out: Sequence[Part]) -> Stage:
    """Return the section with only these rails fed, and these parts taken out.

    A rail that is not fed is neither a source nor a short: its net is left to itself.
    """
    fed = tuple(one for one in stage.rails if one in rails)
    return apply(replace(stage, rails=fed), [Remove(one.ref) for one in out])


def solved(
    stage: Stage, profile: Profile
) -> tuple[tuple[Solved, ...], tuple[str, ...]]:
    """Return every state that has a solution, and the names of those that have none."""
    found: list[Solved] = []
    failed: list[str] = []
    for names in _alike(stage):
        try:
            one = live(stage, names[0], profile)
        except StandingError:
            failed += names
            continue
        given = {rail.net: _given(one.found[0], rail) for rail in stage.rails}
        found.append(Solved(names[0], ", ".join(names), one, given))
    return tuple(found), tuple(failed)


def _alike(stage: Stage) -> list[list[str]]:
    """Return the names of states, those together that set the same of what is fed."""
    found: dict[frozenset[tuple[str, object]], list[str]] = {}
    fed = {one.net.lower() for one in stage.rails}
    fed |= {one.net.lower() for one in stage.inputs}
    fed |= {one.ref.lower() for one in stage.parts if one.fitted}
    for state in stage.states:
        told = {name.lower(): value for name, value in state.settings.items()}
        same = frozenset((name, one) for name, one in told.items() if name in fed)
        found.setdefault(same, []).append(state.name)
    return list(found.values())


def _given(found: Standing, rail: Rail) -> float:
    """Return the current out of a rail's source: into its plus terminal, turned."""
    many = found.currents.get(f"rail {rail.net}", ())
    return -float(many[0][0]) if many else 0.0
