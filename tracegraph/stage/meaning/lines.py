"""Every line with its sister channel, and which of its words are nets, pins or parts."""

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.notation.syntax import (
    BreakLine,
    ChainLine,
    ChannelLine,
    EndLine,
    GroundLine,
    InputLine,
    JoinsLine,
    LikeLine,
    LinkLine,
    PartLine,
    RailLine,
    RestLine,
    Statement,
    SupplyLine,
    UnpluggedLine,
    UntracedLine,
    Word,
)
from tracegraph.stage.kind import Kind
from tracegraph.stage.kinds import kind_of_letters
from tracegraph.stage.meaning.kindwords import choose_kind, settle_variants
from tracegraph.stage.meaning.names import DESIGNATOR
from tracegraph.stage.meaning.pinout import is_parameter


class Line(NamedTuple):
    """A statement and the channel it stands in.

    Attributes:
        statement: What was written.
        channel: Name of its sister channel, or empty.
        placed: The `like` line that put it here; None where it was written here.
        excepts: Words that a `like` line gives its parts instead, by designator.
    """

    statement: Statement
    channel: str = ""
    placed: Span | None = None
    excepts: Mapping[str, tuple[Word, ...]] = MappingProxyType({})


def in_channels(statements: Iterable[Statement]) -> list[Line]:
    """Return the lines, each with its channel; `like` lines stay as they are."""
    return list(_walk(statements))


def _walk(statements: Iterable[Statement]) -> Iterator[Line]:
    spellings: dict[str, str] = {}
    now = ""
    for statement in statements:
        match statement:
            case ChannelLine(name=name):
                now = spellings.setdefault(name.text.lower(), name.text)
                yield Line(statement, now)
            case EndLine():
                now = ""
            case LikeLine():
                yield Line(statement)
            case _:
                yield Line(statement, now)


def kind_of(line: PartLine) -> Kind | None:
    """Return the kind that a part line names or its letters stand for, or None."""
    kind, words = choose_kind(line.words)
    kind = kind or kind_of_letters(line.ref.text.partition(".")[0])
    return settle_variants(kind, words)[0] if kind else None


def bare_nets(line: PartLine) -> list[Word]:
    """Return the net of a one-pin part that is written bare: `TP1 GATE`."""
    _, words = choose_kind(line.words)
    return [word for word in words if not word.quoted]


def designators(statements: Iterable[Statement]) -> set[str]:
    """Return the designators in lower case, those only met in a chain among them.

    A single word in a chain is a part where another line declares it, a net where
    another line uses it as one, and else a part if its letters stand for a kind.
    """
    lines = list(statements)
    parts = {word.text.lower() for line in lines for word in part_words(line)}
    chains = [line for line in lines if isinstance(line, ChainLine)]
    others = (line for line in lines if not isinstance(line, ChainLine))
    nets = {word.text.lower() for line in others for word in net_words(line)}
    for chain in chains:
        for word in net_words(chain):
            text = word.text.lower()
            kind = kind_of_letters(text) if DESIGNATOR.fullmatch(text) else None
            if kind and len(kind.pins) == 2 and text not in nets:
                parts.add(text)
    return parts


def net_words(statement: Statement) -> Iterator[Word]:
    """Yield the words of a line that may be nets (pins and values among them)."""
    match statement:
        case PartLine(ends=ends, settings=settings):
            if ends:
                yield from (ends.left, ends.right)
            kind = kind_of(statement)
            if kind and len(kind.pins) == 1 and not settings:
                yield from bare_nets(statement)
            yield from (
                one.value for one in settings if not (kind and is_parameter(kind, one))
            )
        case ChainLine(steps=steps):
            yield from (step.words[0] for step in steps if len(step.words) == 1)
        case JoinsLine(net=net, pins=pins):
            yield from (net, *pins)
        case SupplyLine(settings=settings):
            yield from (setting.value for setting in settings)
        case LinkLine(a=a, b=b):
            yield from (a, b)
        case _:
            yield from _declared(statement)


def _declared(statement: Statement) -> Iterator[Word]:
    match statement:
        case RestLine(ends=ends):
            yield from (ends.left, ends.right)
        case RailLine(net=net, over=over):
            yield from (net, over) if over else (net,)
        case InputLine(net=net) | BreakLine(net=net):
            yield net
        case GroundLine(nets=nets) | UnpluggedLine(nets=nets):
            yield from nets
        case UntracedLine(targets=targets):
            yield from targets
        case _:
            return


def part_words(statement: Statement) -> Iterator[Word]:
    """Yield the designators that a line declares."""
    match statement:
        case PartLine(ref=ref):
            yield ref
        case ChainLine(steps=steps):
            yield from (
                step.words[0] for step in steps if len(step.words) > 1 or step.settings
            )
        case _:
            return
