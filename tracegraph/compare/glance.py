"""A quick look at many readings on two or three boards: how much each is moved.

Typical boards only, without windows; what is chosen is worked out in full afterwards.
"""

from collections.abc import Sequence
from math import inf, isinf, log
from typing import NamedTuple

from tracegraph.meter.expect import Probe
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.meter.unknowns.boards import Boards
from tracegraph.meter.unknowns.every import unknowns
from tracegraph.meter.unknowns.table import Table
from tracegraph.network.circuit import UnknownValueError
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

MOST = 3.0  # worth of OL against a number, and the most that two numbers are worth
A_TENTH = 0.1  # volts of a diode test that are worth as much as a factor of e in ohms
LEAST = 0.15  # worth from which a change is looked into
OTHERS = 0.1  # what a reading is worth that other differences move
BENT = 0.3  # and one in ohms that a junction decides
STRAIGHT = 0.5  # and one in diode test where none is in the way
FAINT = 10e6  # ohms: beside them fingers and damp decide
HOLDS = 0.5  # share of the change that the difference itself must make
FAR = 10.0  # how many times more a junction must read to be beside the point
NAMED, PINNED = 1.0, 0.8  # ease of a net with a name, and of a pin
UNSURE = 0.2  # what a reading is worth that unknowns move
GROUND = 1.2  # black on a ground: a clip that stays


class Look(NamedTuple):
    """A reading with what it is worth as a proof of a difference."""

    probe: Probe
    worth: float

    @property
    def pair(self) -> frozenset[str]:
        """The two places, whichever way round."""
        return frozenset((self.probe.red, self.probe.black))


class Glance:
    """The reference, looked at again and again beside altered boards."""

    def __init__(self, stage: Stage, profile: Profile) -> None:
        """Take the section that others are compared with, and the meter."""
        self.stage = stage
        self.profile = profile
        self._boards: dict[int, tuple[Stage, Boards]] = {}

    def looks(
        self,
        places: Sequence[tuple[str, str]],
        alone: Stage,
        now: Stage,
        modes: Sequence[Mode],
    ) -> list[Look]:
        """Return every reading over pairs of places with its worth.

        Args:
            places: Pairs of nets or pins that the reference has.
            alone: The reference with one difference.
            now: The reference with all of them.
            modes: What the meter is set to.
        """
        ways = [way for a, b in places for way in ((a, b), (b, a))]
        return [
            look for mode in modes for look in self._of_mode(ways, mode, alone, now)
        ]

    def _of_mode(
        self, ways: Sequence[tuple[str, str]], mode: Mode, alone: Stage, now: Stage
    ) -> list[Look]:
        ways = [way for way in ways if _stand_on(way, self.stage, alone, now)]
        if not ways or not self.profile.scales(mode):
            return []
        was, by_it, found = (
            self._seen(one, ways, mode) for one in (self.stage, alone, now)
        )
        looks: list[Look] = []
        for way, old, own, new in zip(ways, was, by_it, found, strict=True):
            worth = moved(old[0], new[0], mode)
            if moved(old[0], own[0], mode) < HOLDS * worth:
                worth *= OTHERS
            worth *= _suits(mode, old, new)
            if worth > LEAST:
                worth *= self._ease(way)
                looks.append(Look(Probe(*way, mode), worth))
        return looks

    def computable(self, stage: Stage) -> bool:
        """Return whether every value of a board is known well enough to compute with."""
        try:
            return bool(self._board(stage).usual)
        except UnknownValueError:
            return False

    def sure(self, looks: Sequence[Look]) -> list[Look]:
        """Return the same readings, those worth less that unknowns move."""
        unsure: set[Probe] = set()
        for mode in dict.fromkeys(look.probe.mode for look in looks):
            probes = [look.probe for look in looks if look.probe.mode is mode]
            nets = [self._nets(one.red, one.black) for one in probes]
            table = Table(self._board(self.stage), nets, mode, self.profile)
            unsure |= {
                one for k, one in enumerate(probes) if bool(table.moved[:, k].any())
            }
        return [
            look._replace(worth=look.worth * (UNSURE if look.probe in unsure else 1.0))
            for look in looks
        ]

    def _nets(self, *places: str) -> tuple[str, str]:
        red, black = (self.stage.net(one) or one for one in places)
        return red, black

    def _ease(self, way: tuple[str, str]) -> float:
        red, black = (NAMED if _named(self.stage, one) else PINNED for one in way)
        grounds = {one.net for one in self.stage.grounds}
        return red * black * (GROUND if way[1] in grounds else 1.0)

    def _seen(
        self, stage: Stage, ways: Sequence[tuple[str, str]], mode: Mode
    ) -> list[tuple[float, bool]]:
        """Return every display, and whether a junction decides it."""
        boards = self._board(stage)
        nets = [(stage.net(a) or a, stage.net(b) or b) for a, b in ways]
        table = Table(boards, nets, mode, self.profile, others=False)
        shown = table.usual.shown
        return list(zip(shown.values.tolist(), shown.bent.tolist(), strict=True))

    def _board(self, stage: Stage) -> Boards:
        if id(stage) not in self._boards:
            self._boards[id(stage)] = stage, Boards(stage, unknowns(stage))
        return self._boards[id(stage)][1]


def moved(was: float, now: float, mode: Mode) -> float:
    """Return how far a display is moved: 0 not at all, 3 from a number to OL."""
    was, now = (_faint(value, mode) for value in (was, now))
    if was == now or not (was >= 0 and now >= 0):  # no answer was found: NaN
        return 0.0
    if isinf(was) or isinf(now):
        return MOST
    if mode is Mode.DIODE:
        return min(abs(now - was) / A_TENTH, MOST)
    floor = 1e-12 if mode is Mode.CAP else 1.0  # leads and stray capacitance
    return min(abs(log((now + floor) / (was + floor))), MOST)


def _suits(mode: Mode, old: tuple[float, bool], new: tuple[float, bool]) -> float:
    """Return how far a mode is the one for a reading: ohms for what has no junction."""
    if mode is Mode.DIODE:
        return 1.0 if old[1] or new[1] else STRAIGHT
    decides = mode is Mode.OHMS and (_decides(old, new) or _decides(new, old))
    return BENT if decides else 1.0


def _decides(one: tuple[float, bool], other: tuple[float, bool]) -> bool:
    """Return whether a junction decides one of two displays in ohms.

    Not where it lets through but little: then it is the other way's absence that shows.
    """
    return one[1] and one[0] < FAR * other[0]


def _faint(value: float, mode: Mode) -> float:
    """Return a display with what no hand can hold still taken as OL."""
    return inf if mode is Mode.OHMS and value > FAINT else value


def reading_moves(was: Expected, now: Expected) -> bool:
    """Return whether no display that is lawful before is lawful after."""
    if was.error or now.error or not (was.cases and now.cases):
        return False
    if was.may_be_open and now.may_be_open:
        return False
    return not any(
        _overlap((one.low, one.high), (other.low, other.high))
        for one in was.cases
        for other in now.cases
    )


def _overlap(
    one: tuple[float | None, float | None], other: tuple[float | None, float | None]
) -> bool:
    if None in {*one, *other}:
        return False
    (low, high), (least, most) = one, other
    return bool(low <= most and least <= high)  # type: ignore[operator] # None is out


def _stand_on(way: tuple[str, str], *stages: Stage) -> bool:
    """Return whether every board has both places, somewhere on two nets."""
    nets = [tuple(stage.net(one) for one in way) for stage in stages]
    return all(None not in pair for pair in nets) and any(a != b for a, b in nets)


def _named(stage: Stage, place: str) -> bool:
    """Return whether a place is a net that somebody gave a name."""
    return place in stage.nets and stage.pin(place) is None
