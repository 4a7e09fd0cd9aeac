"""Readings that contradict one another: both are kept, and it is said."""

from collections.abc import Iterator
from typing import NamedTuple

from tracegraph.diagnostics import Label, Problem, doubt
from tracegraph.stage.change import Cut
from tracegraph.stage.checks.text import Unread
from tracegraph.stage.reading import Block, Condition, Reading
from tracegraph.stage.shown import contradict, shown
from tracegraph.stage.stage import Stage

HINT = (
    "Take it again. What was done to the board between them stands between them in the "
    "log, such as `replaced R14`."
)


class Clash(NamedTuple):
    """Two readings of one pair, taken alike, that can't both be of one board."""

    first: Reading
    second: Reading

    @property
    def message(self) -> str:
        """The same as a sentence."""
        pair = f"{self.second.red}-{self.second.black}"
        both = f"{shown(self.first)} and {shown(self.second)}"
        return f"Two readings of {pair} differ: {both}; both count."


def contradictions(stage: Stage) -> Iterator[Clash]:
    """Yield every reading that contradicts an earlier one of the same board.

    What was done to the board parts the readings before it from those behind it.
    """
    seen: dict[str, Reading] = {}
    for entry in stage.log:
        if not isinstance(entry, Block):
            seen.clear()
            continue
        for reading in entry.readings:
            first = seen.setdefault(_key(stage, reading), reading)
            if contradict(first, reading):
                yield Clash(first, reading)


def _key(stage: Stage, reading: Reading) -> str:
    """Return what two readings of the same share: pair, mode, and how the bench stood."""
    places = [_place(stage, name, reading.condition) for name in reading[:2]]
    return repr((places, reading.mode, _bench(reading.condition)))


def _place(stage: Stage, name: str, condition: Condition) -> str:
    """Return the net of a probe; a lifted leg is a place of its own."""
    pin = stage.pin(name)
    lifted = pin and Cut(pin) in condition.changes
    return str(pin) if lifted else stage.net(name) or name


def _bench(condition: Condition) -> object:
    changes = sorted(repr(change) for change in condition.changes)
    joined = sorted(sorted(group) for group in condition.joined)
    out = sorted(condition.unplugged)
    return condition.power, condition.after, changes, joined, out


def contradicting_readings(stage: Stage, unread: Unread) -> Iterator[Problem]:
    """Yield a doubt for every reading that contradicts an earlier one."""
    for clash in contradictions(stage):
        at, first = clash.second.source, clash.first.source
        if at and at.line not in unread.lines:
            told = doubt("readings-differ", clash.message, at, HINT)
            label = (Label(first, "the other one"),) if first else ()
            yield told._replace(related=label)
