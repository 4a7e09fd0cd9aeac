"""A Stage as text in the notation; what is read from it is the same Stage."""

from collections.abc import Mapping
from itertools import chain, groupby

from tracegraph.notation.source import from_text
from tracegraph.stage.part import Part
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage
from tracegraph.stage.writing import records
from tracegraph.stage.writing.channels import like_line, places_of
from tracegraph.stage.writing.log import log_lines
from tracegraph.stage.writing.parts import part_line, places

Homes = Mapping[records.Told, str | None]  # the channel a line stands in; None: a copy


def write(stage: Stage) -> str:
    """Return the text of a section, in a settled order of lines.

    Reading it gives an equal section, save for its places in the text and the order
    of lines of one sort. A sister channel is given as its `like` line; where the
    section was altered so that the line would not hold, its parts are written out.
    """
    text = _text(stage, like=True)
    if any(channel.like for channel in stage.channels):
        again = read(from_text("", text))
        if [_bare(part) for part in again.parts] != [
            _bare(part) for part in stage.parts
        ]:
            return _text(stage, like=False)
    return text


def _bare(part: Part) -> tuple[object, ...]:
    """Return what must come back of a part."""
    return part.ref, part.kind, dict(part.pins), dict(part.given), part.status


def _text(stage: Stage, *, like: bool) -> str:
    told = [*records.declarations(stage), *records.joints(stage)]
    homes = places_of(stage, told) if like else dict.fromkeys(told, "")
    outside = [one for one in told if homes[one] == ""]
    first = {one.sort for one in records.declarations(stage)}
    sections = (
        [f'stage "{stage.title}"'] if stage.title else [],
        [one.line for one in outside if one.sort in first],
        _parts(stage, homes, like=like),
        [one.line for one in outside if one.sort not in first],
        _touched(stage),
        [records.state_line(state) for state in stage.states],
        [f'note "{note}"' for note in stage.notes],
        list(chain.from_iterable(log_lines(one, places(stage)) for one in stage.log)),
    )
    return "\n\n".join("\n".join(lines) for lines in sections if lines) + "\n"


def _parts(stage: Stage, homes: Homes, *, like: bool) -> list[str]:
    """Return the part lines, those of a channel enclosed in it."""
    channels = {channel.name: channel for channel in stage.channels}
    opened: set[str] = set()
    lines: list[str] = []
    for name, group in groupby(stage.parts, key=lambda part: part.channel):
        channel = channels.get(name)
        if channel and channel.like and like:
            lines += [like_line(stage, channel)] if name not in opened else []
        else:
            inner = [one.line for one, home in homes.items() if name and home == name]
            own = [part_line(part, places(stage)) for part in group]
            lines += _enclosed(name, own + (inner if name not in opened else []))
        opened.add(name)
    return lines


def _enclosed(name: str, lines: list[str]) -> list[str]:
    return (
        [f"channel {name}", *(f"  {line}" for line in lines), "end"] if name else lines
    )


def _touched(stage: Stage) -> list[str]:
    touched = [part.ref for part in stage.parts if part.touched]
    return [f"touched {' '.join(touched)}"] if touched else []
