"""Blocks of readings, and what was done to the board between them."""

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from tracegraph.diagnostics import Problem, Severity
from tracegraph.notation.syntax import (
    EventLine,
    MeterLine,
    RangeLine,
    ReadingLine,
    ReadingsLine,
    Setting,
    Word,
)
from tracegraph.stage.change import Add, Become, Change, Remove, Vary
from tracegraph.stage.meaning.conditions import condition, joined_conditions, parts_of
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.displays import read_display
from tracegraph.stage.meaning.kindwords import choose_kind
from tracegraph.stage.meaning.lines import Line
from tracegraph.stage.meaning.odd_displays import odd_display
from tracegraph.stage.meaning.parts import describe
from tracegraph.stage.meaning.taken_back import without_taken_back
from tracegraph.stage.meaning.wording import Wording
from tracegraph.stage.part import Part, Status
from tracegraph.stage.reading import (
    Block,
    Condition,
    Deed,
    Event,
    LogEntry,
    Mode,
    Reading,
)
from tracegraph.stage.stage import Link, Stage

_MODES = {"capacitance": Mode.CAP, **{mode.value: mode for mode in Mode}}
_DEEDS = {
    "replaced": Deed.REPLACED,
    "fitted": Deed.FITTED,
    "removed": Deed.REMOVED,
    "cut": Deed.CUT_LINK,
}


def read_log(desk: Desk, stage: Stage, lines: Iterable[Line]) -> tuple[LogEntry, ...]:
    """Return the log: blocks and events in the order written."""
    log: list[LogEntry] = []
    open_block, lost = False, False
    for line in without_taken_back(desk, lines):
        match line.statement:
            case ReadingsLine() as head:
                before = len(desk.problems)
                log.append(_block(desk, stage, head))
                lost = _costs_block(desk, before)
                open_block = True
            case ReadingLine() as told:
                if not open_block:
                    log.append(Block("", "", Condition(), ()))
                    open_block, lost = True, False
                if not lost:
                    _add(desk, stage, log, told)
            case EventLine() as event:
                found = read_event(desk, stage, event)
                log += [found] if found else []
                open_block = False
            case MeterLine() | RangeLine() as profile:
                _no_meters(desk, profile)
            case _:
                continue
    return tuple(log)


def _no_meters(desk: Desk, line: MeterLine | RangeLine) -> None:
    if isinstance(line, MeterLine):
        message = f"The meter {line.name.text} is not read from a section's file."
        hint = "Keep meters in a file of their own beside this one."
        desk.doubt("meter-in-section", message, line.name, hint)


def _block(desk: Desk, stage: Stage, head: ReadingsLine) -> Block:
    title = head.title.text if head.title else ""
    meter = head.meter.text if head.meter else ""
    return Block(title, meter, condition(desk, stage, head.tail), ())


def _costs_block(desk: Desk, before: int) -> bool:
    """Return whether the bench of a whole block is not known; say what that costs."""
    told = "The readings of this block are left out with it."
    desk.problems[before:] = [
        one._replace(hint=f"{one.hint} {told}".strip()) if _is_error(one) else one
        for one in desk.problems[before:]
    ]
    return any(map(_is_error, desk.problems[before:]))


def _is_error(problem: Problem) -> bool:
    return problem.severity is Severity.ERROR


def _add(desk: Desk, stage: Stage, log: list[LogEntry], told: ReadingLine) -> None:
    block = log[-1]
    if isinstance(block, Block):
        reading = _reading(desk, stage, block, told)
        if reading:
            log[-1] = block._replace(readings=(*block.readings, reading))


def _reading(
    desk: Desk, stage: Stage, block: Block, told: ReadingLine
) -> Reading | None:
    red, black = probe(desk, stage, told.red), probe(desk, stage, told.black)
    mode = _MODES[told.mode.text.lower()]
    display = read_display(tuple(word.text for word in told.shown), mode)
    if display is None:
        word = told.shown[0] if told.shown else told.black
        text = " ".join(word.text for word in told.shown)
        message, hint = odd_display(text, mode)
        desk.error("odd-display", message, word, hint)
    if red is None or black is None or display is None:
        return None
    before = len(desk.problems)
    own = condition(desk, stage, told.tail)
    if any(map(_is_error, desk.problems[before:])):
        return None  # a reading is true for the bench as it was, and that is not known
    return Reading(
        red,
        black,
        mode,
        *display,
        condition=joined_conditions(block.condition, own, told.tail),
        meter=block.meter,
        block=block.title,
        source=told.span,
    )


def probe(desk: Desk, stage: Stage, word: Word) -> str | None:
    """Return a probe's place as first written: a net, or a pin (`Q11.b`)."""
    pin = stage.pin(word.text)
    net = stage.net(word.text)
    if net and net.lower() == word.text.lower():
        return net
    if pin:
        return str(pin)
    ref = word.text.rpartition(".")[0]
    if ref.lower() not in desk.lost:
        known = [*stage.nets, *(part.ref for part in stage.parts)]
        message = f"There is no net or pin {word.text}."
        if stage.part(word.text):
            message = f"{word.text} is a part: say which of its pins."
        desk.error("unknown-name", message, word, ask_meant(word.text, known))
    return None


def read_event(desk: Desk, stage: Stage, line: EventLine) -> Event | None:
    """Return the event with what it changes; None where its target is unknown."""
    deed = _DEEDS[line.verb.text.lower()]
    words = _as_written(line.words, line.settings)
    if deed is Deed.CUT_LINK:
        return _cut_link(desk, stage, line)
    parts = [part for word in line.targets for part in parts_of(desk, stage, word)]
    if not parts:
        return None
    changes = tuple(
        change for part in parts for change in _changes(desk, deed, part, line)
    )
    target = tuple(word.text for word in line.targets)
    return Event(deed, target, changes, line.span, words)


def _as_written(
    words: tuple[Word, ...], settings: tuple[Setting, ...]
) -> tuple[str, ...]:
    plain = (f'"{word.text}"' if word.quoted else word.text for word in words)
    return (*plain, *(f"{one.name.text}={one.value.text}" for one in settings))


def _changes(desk: Desk, deed: Deed, part: Part, line: EventLine) -> tuple[Change, ...]:
    if deed is Deed.REMOVED:
        return (Remove(part.ref),)
    if deed is Deed.FITTED:
        fitted = replace(part, status=Status.FITTED)
        return (Add(fitted), *_other(desk, part, line))
    return _other(desk, part, line)


def _other(desk: Desk, part: Part, line: EventLine) -> tuple[Change, ...]:
    """Return what makes the part another one: kind or quantities that are written."""
    if not line.words and not line.settings:
        return ()
    other = _described(desk, part, line)
    if other is None:
        return ()
    stated = {
        symbol: told
        for symbol, told in other.given.items()
        if told.known and told != part.given.get(symbol)
    }
    if other.kind is not part.kind:
        return (Become(part.ref, other.kind.word, MappingProxyType(stated)),)
    return tuple(Vary(part.ref, symbol, told) for symbol, told in stated.items())


def _described(desk: Desk, part: Part, line: EventLine) -> Part | None:
    """Return the new part; a kind that is not written again is the old one's."""
    before = len(desk.problems)
    own = () if choose_kind(line.words)[0] else (Word(part.kind.word, line.verb.span),)
    words = (*line.words, *own)
    other = describe(
        desk, Wording(Word(part.ref, line.verb.span), words, line.settings)
    )
    kept = desk.problems[before:]
    desk.problems[before:] = [one for one in kept if one.code != "value-missing"]
    return other


def _cut_link(desk: Desk, stage: Stage, line: EventLine) -> Event | None:
    nets = [stage.net(word.text) for word in line.targets]
    if not any(_joins(link, nets) for link in stage.links):
        names = " ".join(word.text for word in line.targets)
        message = f"No link or bridge {names} was written that could be cut."
        desk.error("unknown-link", message, line.targets[0], f"Write `bridge {names}`.")
        return None
    target = tuple(net for net in nets if net)
    return Event(Deed.CUT_LINK, target, (), line.span)


def _joins(link: Link, nets: list[str | None]) -> bool:
    """Return whether a link lies between these two nets."""
    return {link.a, link.b} == set(nets)
