"""One line typed at the bench: a reading, something done, or a hint what was meant."""

from typing import NamedTuple

from tracegraph.asking.logbook.columns import mode_called
from tracegraph.asking.logbook.standing import refitted, settled, standing_words
from tracegraph.diagnostics import Problem, Span, error
from tracegraph.nearest import nearest
from tracegraph.notation.mistakes.usage import INNER, USAGE
from tracegraph.notation.parser import parse, parse_tail
from tracegraph.notation.source import Source, from_text
from tracegraph.notation.syntax import EventLine, ReadingLine
from tracegraph.stage.meaning.conditions import condition, joined_conditions
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.displays import read_display
from tracegraph.stage.meaning.lines import in_channels
from tracegraph.stage.meaning.log import read_log
from tracegraph.stage.reading import (
    AS_IT_LIES,
    COLD,
    Block,
    Condition,
    Event,
    Mode,
    Reading,
)
from tracegraph.stage.stage import Stage

_UNDO = frozenset({"u", "undo"})
_DEEDS = frozenset({"replaced", "fitted", "removed", "cut"})
_BENCH = frozenset({"without", "lifted", "joined", "unplugged", "with", "in", "after"})
_BACK = frozenset({"refit", "refitted"})
_ANY = Mode.BEEP  # shows every word that a display knows
_BEEPS = frozenset({"b", "beep", "beeps"})
_HINT = "Type what the display shows, or GATE COM 612, lifted R14.1, undo."


class Wanted(NamedTuple):
    """Where the probes are, or are to go next."""

    red: str
    black: str
    mode: Mode


class BenchNow(NamedTuple):
    """How the bench stands from now on."""

    condition: Condition


class Undo(NamedTuple):
    """The last reading or event is taken back."""


class Trouble(NamedTuple):
    """What was typed can't be understood.

    Attributes:
        problems: What is wrong, and what was probably meant.
        source: The line as typed, which their places lie in.
    """

    problems: tuple[Problem, ...]
    source: Source


Typed = Reading | Event | BenchNow | Wanted | Undo | Trouble


def typed(
    stage: Stage,
    text: str,
    proposed: Wanted | None = None,
    bench: Condition = AS_IT_LIES,
) -> Typed:
    """Return what a line typed at the bench says.

    A reading is `612` where probes are proposed, `GATE COM 612` between other points,
    `diode GATE COM 612` in another mode; what is left out is as proposed. A pair alone
    is where the probes go next. `lifted R14.1` and the other tails of the notation
    hold until `refit R14.1`; `refit` alone puts all back, `cold` ends a state.

    Args:
        stage: The section.
        text: The line.
        proposed: Where the probes are.
        bench: How the bench stands.
    """
    words = text.lower().split()
    first = words[0] if words else ""
    if len(words) == 1 and first in _UNDO:
        return Undo()
    if len(words) == 1 and first == COLD:
        return BenchNow(bench._replace(power=COLD))
    if first in _DEEDS:
        return _event(stage, text)
    if first in _BENCH and not _is_pair(stage, words):
        return _bench(stage, text, bench)
    if first in _BACK:
        return _refit(stage, text, bench)
    return _misspelt(stage, text) or _reading(stage, text, proposed, bench)


def _misspelt(stage: Stage, text: str) -> Trouble | None:
    """Return the problem of `lift R14.1`: a first word that is nearly a known one."""
    first, *rest = text.split() or [""]
    if (
        not rest
        or mode_called(first)
        or stage.net(first)
        or read_display((first,), _ANY)
    ):
        return None
    meant = nearest(first, _DEEDS | _BENCH | _BACK, cutoff=0.7)
    if not meant:
        return None
    start = text.index(first)
    span = Span(1, start + 1, start + len(first) + 1)
    message = f"`{first}` begins nothing that can be typed here."
    return _trouble(text, [error("misspelt", message, span, f"Did you mean {meant}?")])


def _trouble(text: str, problems: list[Problem], shift: int = 0) -> Trouble:
    """Return what is wrong, its places in the line as it was typed."""
    moved = tuple(one._replace(span=_moved(one.span, shift)) for one in problems)
    return Trouble(moved, from_text("typed", text))


def _moved(span: Span | None, shift: int) -> Span | None:
    if span is None or span.column <= shift:
        return None
    return Span(span.line, span.column - shift, span.end - shift)


def _event(stage: Stage, text: str) -> Event | Trouble:
    parsed = parse(from_text("typed", text))
    desk = Desk()
    log = read_log(desk, stage, in_channels(parsed.statements))
    found = next((one for one in log if isinstance(one, Event)), None)
    problems = [*parsed.problems, *desk.problems]
    if found is None or not all(isinstance(o, EventLine) for o in parsed.statements):
        return _trouble(text, problems)
    return found


def _bench(stage: Stage, text: str, bench: Condition) -> BenchNow | Trouble:
    tail, problems = parse_tail(text)
    desk = Desk()
    own = condition(desk, stage, tail)
    found = [one for one in (*problems, *desk.problems) if one.severity == "error"]
    if found:
        return _trouble(text, found)
    return BenchNow(settled(joined_conditions(bench, own, tail)))


def _refit(stage: Stage, text: str, bench: Condition) -> BenchNow | Trouble:
    names = text.split()[1:]
    if not names:
        return BenchNow(AS_IT_LIES)
    now = bench
    for name in names:
        new = refitted(stage, now, name)
        if new is None:
            start = text.index(name, len(text.split(maxsplit=1)[0]))
            span = Span(1, start + 1, start + len(name) + 1)
            told = standing_words(stage, bench)
            hint = f"The bench stands: {told}." if told else "Nothing is off the board."
            message = f"{name} is where it belongs already."
            return _trouble(text, [error("nothing-to-refit", message, span, hint)])
        now = new
    return BenchNow(now)


class _Said(NamedTuple):
    """A line parted into where, how and what: the rest is what the display showed."""

    probes: tuple[str, str] | None
    mode: Mode | None
    rest: str


def _reading(
    stage: Stage, text: str, proposed: Wanted | None, bench: Condition
) -> Reading | Wanted | Trouble:
    said = _parted(stage, text)
    probes = said.probes or (proposed[:2] if proposed else None)
    mode = said.mode or (proposed.mode if proposed else None)
    shown = said.rest.lower().split()
    beeped = shown[:1] and (shown[0] in _BEEPS or shown[:2] == ["no", "beep"])
    if said.mode is None and beeped:
        mode = Mode.BEEP  # a meter beeps in no other mode
    if probes is None or mode is None:
        return _unplaced(text, said)
    if not shown:
        return Wanted(*probes, mode) if text.strip() else _unplaced(text, said)
    lone = _lone_point(stage, text, said)
    if lone:
        return lone
    return _taken(stage, text, f"{mode} {' '.join(probes)} {said.rest}", bench)


def _unplaced(text: str, said: _Said) -> Trouble:
    span = Span(1, 1, max(len(text.rstrip()), 1) + 1)
    if not text.strip():
        return _trouble(
            text, [error("nothing-typed", "Nothing is typed.", None, _HINT)]
        )
    message = "Which points, in which mode?" if not said.probes else "In which mode?"
    hint = "Type diode GATE COM 612: mode, red, black, what is shown."
    return _trouble(text, [error("no-probes", message, span, hint)])


def _lone_point(stage: Stage, text: str, said: _Said) -> Trouble | None:
    """Return the problem of `GATE 612`: one point, where a pair was meant."""
    first, *rest = said.rest.split()
    if said.probes or not rest or not (stage.net(first) or stage.pin(first)):
        return None
    start = text.index(first)
    span = Span(1, start + 1, start + len(first) + 1)
    message = f"{first}, and which other point?"
    hint = f"Type {first} COM {rest[0]}: red probe first, then black."
    return _trouble(text, [error("missing-probe", message, span, hint)])


def _taken(stage: Stage, text: str, line: str, bench: Condition) -> Reading | Trouble:
    """Return the reading that a whole line of the notation says."""
    shift = len(line) - len(text.rstrip())
    parsed = parse(from_text("typed", line))
    desk = Desk()
    log = read_log(desk, stage, in_channels(parsed.statements))
    readings = [one for b in log if isinstance(b, Block) for one in b.readings]
    if not readings:
        return _trouble(text, [*parsed.problems, *desk.problems], shift)
    told = next(one for one in parsed.statements if isinstance(one, ReadingLine))
    whole = joined_conditions(bench, readings[0].condition, told.tail)
    return readings[0]._replace(condition=settled(whole), source=None)


def _parted(stage: Stage, text: str) -> _Said:
    """Return the mode and the points that a line begins with, if it does."""
    words = text.split()
    if _is_pair(stage, words):
        return _Said((words[0], words[1]), None, _behind(text, 2))
    mode = mode_called(words[0]) if words else None
    alone = len(words) == 1 and words[0].lower() in _BEEPS
    if mode is None or alone:
        if _meant_as_pair(words, Mode.DIODE):
            return _Said((words[0], words[1]), None, _behind(text, 2))
        return _Said(None, None, text.strip())
    if _is_pair(stage, words[1:]) or _meant_as_pair(words[1:], mode):
        return _Said((words[1], words[2]), mode, _behind(text, 3))
    return _Said(None, mode, _behind(text, 1))


def _is_pair(stage: Stage, words: list[str]) -> bool:
    """Return whether a line begins with two points of the section."""
    return len(words) > 1 and all(stage.net(w) or stage.pin(w) for w in words[:2])


def _meant_as_pair(words: list[str], mode: Mode) -> bool:
    """Return whether a line begins with two names, one of which is misspelt."""
    known = {*USAGE, *INNER, "no", ">"}
    return len(words) > 2 and not any(
        word.lower() in known or read_display((word,), mode) for word in words[:2]
    )


def _behind(text: str, count: int) -> str:
    """Return what stands behind so many words."""
    return (text.split(maxsplit=count)[count:] or [""])[0].rstrip()
