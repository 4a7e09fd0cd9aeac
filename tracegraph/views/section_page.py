"""What was understood of a file: parts, nets, rails, and everything left open."""

from collections.abc import Sequence
from typing import NamedTuple

from tracegraph.meter.unknowns.unknown import Unknown
from tracegraph.stage.reading import Block as Readings
from tracegraph.stage.reading import Event
from tracegraph.stage.stage import Rest, RestForm, Stage, State
from tracegraph.views.amounts import amount, whole
from tracegraph.views.page import (
    GAP,
    Block,
    Line,
    Page,
    Tone,
    Verbatim,
    caution,
    title,
)
from tracegraph.views.section_tables import net_table, part_table
from tracegraph.views.words import bench

FEW = 4  # alternatives that are told one by one


class Section(NamedTuple):
    """Everything that `check` has to say of a file.

    Attributes:
        stage: The section.
        cautions: What to heed before probing.
        rests: Pairs of nets whose rest should be measured first.
        unknowns: What the section leaves open.
        islands: Nets that hang together.
        problems: Every error and doubt, written out.
    """

    stage: Stage
    cautions: Sequence[str]
    rests: Sequence[tuple[str, str]]
    unknowns: Sequence[Unknown]
    islands: Sequence[Sequence[str]]
    problems: Sequence[str]


def section_page(section: Section) -> Page:
    """Return what was understood, what to measure first, and every doubt."""
    stage = section.stage
    return (
        title(stage.title or "Section without a title"),
        Line(_counted(section), Tone.FAINT),
        *map(caution, section.cautions),
        *_first(section),
        *_problems(section),
        *_headed("Parts", part_table(stage)),
        *_headed("Nets", net_table(stage)),
        *_supplies(stage),
        *_drives(stage),
        *_open(section),
        *_islands(section),
        *_channels(stage),
        *_log(stage),
    )


def _counted(section: Section) -> str:
    stage = section.stage
    return (
        f"{_many(len(stage.parts), 'part')}, {_many(len(stage.nets), 'net')}, "
        f"{_many(len(stage.grounds), 'ground')}, {_many(len(stage.rails), 'rail')}, "
        f"{_many(len(section.unknowns), 'thing')} left open."
    )


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _headed(text: str, lines: Sequence[Block]) -> tuple[Block, ...]:
    """Return blocks under a heading; no blocks, no heading."""
    return (GAP, title(text), *lines) if lines else ()


def _item(text: str, tone: Tone = Tone.PLAIN) -> Line:
    return Line(text, tone, indent=2, mark="- ")


def _first(section: Section) -> tuple[Block, ...]:
    rows = [
        _item(f"{a} to {b}, and write `rest {a} -- {b} ...`", Tone.ASK)
        for a, b in section.rests
    ]
    return _headed("Measure these first, board cold", rows)


def _problems(section: Section) -> tuple[Block, ...]:
    texts = [block for text in section.problems for block in (Verbatim(text, 2), GAP)]
    return _headed("Doubts and errors", texts[:-1])


def _supplies(stage: Stage) -> tuple[Block, ...]:
    rails = [
        _item(
            f"{one.net}: {amount(one.volts)} over {one.over or 'no ground'}; "
            f"{_rest_of(stage, one.net, one.over)}"
        )
        for one in stage.rails
    ]
    known = {frozenset((one.net, one.over)) for one in stage.rails}
    others = [
        _item(f"{one.a} to {one.b}: {_rest(one)}")
        for one in stage.rests
        if frozenset((one.a, one.b)) not in known
    ]
    return _headed("Rails, and the rest of the board cold", [*rails, *others])


def _rest_of(stage: Stage, net: str, over: str) -> str:
    found = [one for one in stage.rests if {one.a, one.b} == {net, over}]
    if not found:
        return "what else hangs on it is not known"
    return "rest " + ", ".join(_rest(one) for one in found)


def _rest(rest: Rest) -> str:
    match rest.form:
        case RestForm.NONE:
            return "none"
        case RestForm.OHMS if rest.ohms and rest.ohms.typical is not None:
            return whole(rest.ohms.typical, "ohm")
        case RestForm.CAPACITANCE if rest.farads and rest.farads.typical is not None:
            return whole(rest.farads.typical, "F")
        case RestForm.DIODE:
            ways = (rest.forward, rest.backward)
            shown = ("OL" if one is None else whole(one, "V") for one in ways)
            return f"diode {' / '.join(shown)}"
        case _:
            return "not known"


def _drives(stage: Stage) -> tuple[Block, ...]:
    inputs = [
        _item(
            f"{one.net}: {amount(one.low)} / {amount(one.high)} via {amount(one.via)}"
        )
        for one in stage.inputs
    ]
    states = [
        _item(f"state {one.name}: {_settings(one) or 'rails only'}")
        for one in stage.states
    ]
    return _headed(
        "Inputs and states (they act in powered answers only)", [*inputs, *states]
    )


def _settings(state: State) -> str:
    return " ".join(
        f"{name}={told if isinstance(told, str) else amount(told)}"
        for name, told in state.settings.items()
    )


def _open(section: Section) -> tuple[Block, ...]:
    rows = [
        _item(
            f"{one.subject}: taken as {_or([alt.words for alt in one.alternatives])}. "
            f"To settle it: {one.ask}."
        )
        for one in section.unknowns
    ]
    return _headed("Left open", rows)


def _or(words: Sequence[str]) -> str:
    if len(words) > FEW:
        return f"{', '.join(words[:FEW])} and so on"
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else words[0]


def _islands(section: Section) -> tuple[Block, ...]:
    """Return islands; a pin that nobody has traced yet is none."""
    pins = {str(pin) for pins in section.stage.nets.values() for pin in pins}
    named = [nets for nets in section.islands if not pins.issuperset(nets)]
    if len(named) < 2:
        return ()
    rows = [_item(" ".join(nets)) for nets in named]
    return _headed("Islands that nothing traced joins", rows)


def _channels(stage: Stage) -> tuple[Block, ...]:
    rows = [
        _item(
            f"{one.name}"
            + (f" like {one.like}" if one.like else "")
            + f": {' '.join(part.ref for part in stage.parts if part.channel == one.name)}"
            + (f"; differ lawfully: {' '.join(one.lawful)}" if one.lawful else "")
        )
        for one in stage.channels
    ]
    return _headed("Channels", rows)


def _log(stage: Stage) -> tuple[Block, ...]:
    rows: list[Block] = []
    for entry in stage.log:
        match entry:
            case Readings():
                name = f'"{entry.title}"' if entry.title else "without a title"
                meter = f", meter {entry.meter}" if entry.meter else ""
                count = _many(len(entry.readings), "reading")
                rows.append(_item(f"{name}: {count}{meter}, {bench(entry.condition)}"))
            case Event():
                told = (entry.deed.value, *entry.target, *entry.words)
                rows.append(_item(" ".join(told)))
    return _headed("Log", rows)
