"""What a log names once for all that stands below: its meter, a sister channel."""

from collections.abc import Iterable, Mapping

from tracegraph.notation.syntax import (
    ChannelLine,
    EventLine,
    MeterLine,
    ReadingLine,
    ReadingsLine,
    Statement,
    Tail,
    Word,
)
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.lines import Line
from tracegraph.stage.meaning.sister_lines import new_name
from tracegraph.stage.stage import Channel, Stage


def with_meters(statements: Iterable[Statement]) -> list[Statement]:
    """Return a log's lines, the meter of a `meter` line with every block below it."""
    found: list[Statement] = []
    meter: Word | None = None
    headed = False
    for one in statements:
        match one:
            case MeterLine(name=name):
                meter, headed = name, False
            case ReadingsLine():
                found.append(one._replace(meter=one.meter or meter))
                headed = True
            case ReadingLine() if meter and not headed:
                found += [ReadingsLine(one.span, None, None, meter, Tail()), one]
                headed = True
            case _:
                found.append(one)
                headed = headed and not isinstance(one, EventLine)
    return found


def in_their_channel(
    desk: Desk, stage: Stage, lines: Iterable[Line]
) -> list[Statement]:
    """Return a log's lines, what stands in `channel V` by the names of V.

    The names of the channel that V is like may be written there: a sheet filled in
    once for each sister.
    """
    found: list[Statement] = []
    channels = {channel.name.lower(): channel for channel in stage.channels}
    for line in lines:
        one, channel = line.statement, channels.get(line.channel.lower())
        names = _names(channel) if channel else {}
        match one:
            case ChannelLine(name=name):
                if channel is None:
                    _unknown(desk, stage, name)
            case ReadingLine():
                red, black = (_renamed(word, names) for word in (one.red, one.black))
                tail = _tail(one.tail, names)
                found.append(one._replace(red=red, black=black, tail=tail))
            case ReadingsLine():
                found.append(one._replace(tail=_tail(one.tail, names)))
            case EventLine(targets=targets):
                found.append(one._replace(targets=_all(targets, names)))
            case _:
                found.append(one)
    return found


def _unknown(desk: Desk, stage: Stage, name: Word) -> None:
    names = [one.name for one in stage.channels]
    hint = ask_meant(name.text, names, "Name the nets as the section does.")
    message = f"The section has no channel {name.text}."
    desk.error("unknown-channel", message, name, hint)


def _names(channel: Channel) -> Mapping[str, str]:
    """Return what the copied channel's nets and parts are called in this one."""
    both = {**channel.nets, **channel.parts}
    return {old.lower(): new for old, new in both.items()}


def _renamed(word: Word, names: Mapping[str, str]) -> Word:
    return word._replace(text=new_name(word.text, names)) if names else word


def _all(words: tuple[Word, ...], names: Mapping[str, str]) -> tuple[Word, ...]:
    return tuple(_renamed(word, names) for word in words)


def _tail(tail: Tail, names: Mapping[str, str]) -> Tail:
    return tail._replace(
        without=_all(tail.without, names),
        lifted=_all(tail.lifted, names),
        joined=tuple(_all(group, names) for group in tail.joined),
        unplugged=_all(tail.unplugged, names),
    )
