"""Syntax nodes to a Stage: the order in which the lines are understood."""

from collections.abc import Callable, Hashable, Iterable
from dataclasses import replace
from typing import Protocol, TypeVar

from tracegraph.diagnostics import Problem, Span, error
from tracegraph.notation.syntax import PartLine, Statement, Titled
from tracegraph.stage.meaning import records
from tracegraph.stage.meaning.channels import expand
from tracegraph.stage.meaning.connect import connect, share_supplies
from tracegraph.stage.meaning.declare import declare
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.lines import Line, designators, in_channels
from tracegraph.stage.meaning.log import read_log
from tracegraph.stage.meaning.settle import settle
from tracegraph.stage.meaning.states import read_states
from tracegraph.stage.stage import Channel, Ground, Input, Rail, Rest, Stage


def build(statements: Iterable[Statement]) -> tuple[Stage, tuple[Problem, ...]]:
    """Return the section that the lines describe, and what is wrong with them."""
    desk = Desk()
    written = in_channels(statements)
    lines, channels = expand(desk, written)
    declare(desk, lines, designators(line.statement for line in lines))
    connect(desk, lines)
    share_supplies(desk)
    stage = _assemble(desk, lines, tuple(channels))
    stage = replace(stage, states=read_states(desk, stage, lines))
    stage = replace(stage, log=read_log(desk, stage, lines))
    return stage, tuple(desk.problems)


def _assemble(desk: Desk, lines: list[Line], channels: tuple[Channel, ...]) -> Stage:
    """Return the section without its states and its log."""
    told = [line.statement for line in lines]
    nets = records.Nets(desk)
    grounds = _once(
        desk, records.collect(told, lambda line: records.grounds(nets, line)), _net_of
    )
    first = grounds[0].net if grounds else ""
    rails = _once(
        desk,
        records.collect(told, lambda one: records.rails(desk, nets, first, one)),
        _net_of,
    )
    rests = _once(
        desk,
        records.collect(told, lambda one: records.rests(desk, nets, one)),
        _pair_of,
    )
    inputs = _once(
        desk,
        records.collect(told, lambda one: records.inputs(desk, nets, one)),
        _net_of,
    )
    links = records.collect(told, lambda one: records.links(desk, nets, one))
    plugs = records.collect(told, lambda one: records.unplugged(nets, one))
    breaks = settle(desk, lines)
    parts = tuple(desk.parts.values())
    stage = Stage(_title(told), parts, grounds, rails, rests, inputs)
    stage = replace(stage, links=links, breaks=tuple(breaks), channels=channels)
    untraced = tuple(dict.fromkeys(stage.net(net) or net for net in desk.untraced))
    return replace(stage, untraced=untraced, unplugged=plugs, notes=_notes(lines))


def _title(told: list[Statement]) -> str:
    return next((one.title.text for one in told if isinstance(one, Titled)), "")


def _notes(lines: list[Line]) -> tuple[str, ...]:
    """Return remarks that belong to no part; copies of a line repeat none."""
    return tuple(
        line.statement.note.text
        for line in lines
        if line.statement.note
        and line.placed is None
        and not isinstance(line.statement, PartLine)
    )


class Placed(Protocol):
    """A record that knows where it is written."""

    @property
    def span(self) -> Span | None:
        """The place."""


Record = TypeVar("Record", bound=Placed)


def _once(
    desk: Desk, records: Iterable[Record], key: Callable[[Record], Hashable]
) -> tuple[Record, ...]:
    """Return the records without those that say again what another has said."""
    found: dict[Hashable, Record] = {}
    for record in records:
        first = found.setdefault(key(record), record)
        if first is not record:
            _twice(desk, first, record)
    return tuple(found.values())


def _twice(desk: Desk, first: Placed, again: Placed) -> None:
    message = "This is said twice; the first line is kept."
    hint = "Leave one of the two lines out, or correct the net."
    desk.problems.append(error("said-twice", message, again.span, hint))
    if first.span:
        desk.relate(first.span, "said here first")


def _net_of(record: Ground | Rail | Input) -> Hashable:
    """Return what a ground, a rail or a driven net is known by."""
    return record.net


def _pair_of(rest: Rest) -> Hashable:
    """Return what a rest is known by: its two nets, and what sort it is."""
    return frozenset((rest.a, rest.b)), rest.form
