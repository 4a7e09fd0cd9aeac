"""Blocks of readings and what was done between them."""

from collections.abc import Iterable
from dataclasses import replace

from tracegraph.notation.syntax import (
    EventLine,
    MeterLine,
    RangeLine,
    ReadingLine,
    ReadingsLine,
    Word,
)
from tracegraph.stage.meaning.conditions import condition, joined_conditions
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.displays import read_display
from tracegraph.stage.meaning.events import read_event
from tracegraph.stage.meaning.lines import Line
from tracegraph.stage.reading import Block, Condition, LogEntry, Mode, Reading
from tracegraph.stage.stage import Stage

_MODES = {"capacitance": Mode.CAP, **{mode.value: mode for mode in Mode}}


def read_log(desk: Desk, stage: Stage, lines: Iterable[Line]) -> tuple[LogEntry, ...]:
    """Return the log: blocks and events in the order written."""
    log: list[LogEntry] = []
    open_block = False
    for line in lines:
        match line.statement:
            case ReadingsLine() as head:
                log.append(_block(desk, stage, head))
                open_block = True
            case ReadingLine() as told:
                if not open_block:
                    log.append(Block("", "", Condition(), ()))
                    open_block = True
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


def _add(desk: Desk, stage: Stage, log: list[LogEntry], told: ReadingLine) -> None:
    block = log[-1]
    if isinstance(block, Block):
        reading = _reading(desk, stage, block, told)
        if reading:
            log[-1] = replace(block, readings=(*block.readings, reading))


def _reading(
    desk: Desk, stage: Stage, block: Block, told: ReadingLine
) -> Reading | None:
    red, black = probe(desk, stage, told.red), probe(desk, stage, told.black)
    mode = _MODES[told.mode.text.lower()]
    display = read_display(tuple(word.text for word in told.shown), mode)
    if display is None:
        word = told.shown[0] if told.shown else told.black
        message = (
            f"`{' '.join(w.text for w in told.shown)}` is no display in {mode} mode."
        )
        hint = "Write it as it stood there: 1k0, 0.58, OL, yes, no, > 20M, climbs."
        desk.error("odd-display", message, word, hint)
    if red is None or black is None or display is None:
        return None
    own = condition(desk, stage, told.tail)
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
