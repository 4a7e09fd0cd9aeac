"""What a line typed in a session asks for; nothing is done here yet."""

import re
from enum import StrEnum
from typing import NamedTuple

from tracegraph.asking.benchwork.healthy import taken_as_expected
from tracegraph.asking.benchwork.now import Now
from tracegraph.asking.logbook.typed import (
    BenchNow,
    Trouble,
    Typed,
    Undo,
    Wanted,
    typed,
)
from tracegraph.stage.reading import Condition, Event, Reading


class Order(StrEnum):
    """Words for the session itself."""

    SKIP = "skip"
    HELP = "help"
    LIST = "list"
    EVERY = "list all"
    LEAVE = "quit"
    BACK = "undo"
    WHOLE = "the line was whole"
    TORN = "the line was not whole"


class Keep(NamedTuple):
    """A reading or an event goes into the log."""

    entry: Reading | Event


class Stand(NamedTuple):
    """The bench stands like this from now on."""

    condition: Condition


class Point(NamedTuple):
    """The probes go here next."""

    wanted: Wanted


class Say(NamedTuple):
    """Nothing is done, and this is why."""

    words: str


Move = Keep | Stand | Point | Say | Trouble | Order

ORDERS = {
    "s": Order.SKIP,
    "skip": Order.SKIP,
    "?": Order.HELP,
    "h": Order.HELP,
    "help": Order.HELP,
    "l": Order.LIST,
    "list": Order.LIST,
    "l --all": Order.EVERY,
    "l all": Order.EVERY,
    "q": Order.LEAVE,
    "quit": Order.LEAVE,
    "exit": Order.LEAVE,
}
_NO_BEEP = re.compile(r"(?i)\bnb\s*$")
_YES, _NO = frozenset({"y", "yes"}), frozenset({"n", "no"})
_TOO_SOON = "That was typed before the probe stood on the screen: it is not kept. Type it again."
_NOTHING_ASKED = "No reading is proposed: type one, such as diode GATE COM 612."
_NO_ONE_ANSWER = (
    "A healthy board may show more than one thing here: type what the display shows."
)
_UNKNOWN = "What a healthy board shows here is not known: type what the display shows."
_FIRST = "First the bench: press enter once it stands as asked, then type the reading."


def move_of(now: Now, line: str, *, early: bool = False) -> Move:
    """Return what a typed line asks for.

    Args:
        now: How the session stands.
        line: The line as typed.
        early: Whether it was typed before what is asked for could be read: then only
            lines that name their points count.
    """
    text = _NO_BEEP.sub("no beep", line.rstrip("\r\n"))
    word = text.strip().lower()
    if now.unended:
        return _whole(now, word)
    if not word:
        return Say(_TOO_SOON) if early else _enter(now)
    order = ORDERS.get(" ".join(word.split()))
    if order:
        return order
    wanted = now.asked.wanted if now.asked else None
    return _typed(now, text, typed(now.stage, text, wanted, now.bench), early=early)


def _typed(now: Now, text: str, found: Typed, *, early: bool) -> Move:
    """Return what is to be done about what was understood of a line."""
    match found:
        case Undo():
            return Order.BACK
        case BenchNow(condition=condition):
            return Stand(condition)
        case Wanted() as points:
            return Say(_TOO_SOON) if early and _leans(now, text) else Point(points)
        case Reading() as reading:
            return _reading(now, text, reading, early=early)
        case Event():
            return Keep(found)
        case Trouble():
            return found


def _whole(now: Now, word: str) -> Move:
    """Return what the answer says of a line that has no end."""
    if word in _YES:
        return Order.WHOLE
    if word in _NO:
        return Order.TORN
    return Say(f"First: is `{now.unended}` whole? Type y, or n to take it back.")


def _enter(now: Now) -> Move:
    """Return what enter alone means: the bench is ready, or the display as expected."""
    if now.asked is None:
        return Say(_NOTHING_ASKED)
    if not now.prepared:
        return Stand(now.asked.condition)
    reading = taken_as_expected(now.asked, now.bench)
    if reading:
        return Keep(reading)
    return Say(_NO_ONE_ANSWER if now.asked.expected else _UNKNOWN)


def _reading(now: Now, text: str, reading: Reading, *, early: bool) -> Move:
    """Return a reading as typed; one that leans on what is asked for must fit it."""
    if early and _leans(now, text):
        return Say(_TOO_SOON)
    named = {reading.red.lower(), reading.black.lower()} <= {*text.lower().split()}
    return Keep(reading) if named or now.prepared else Say(_FIRST)


def _leans(now: Now, text: str) -> bool:
    """Return whether a line says nothing without what is asked for."""
    return isinstance(typed(now.stage, text, None, now.bench), Trouble)
