"""The levels of one state, to be laid over the drawing."""

from collections.abc import Iterator

from tracegraph.display import volts
from tracegraph.draw.overlay import Mark, OnNet, OnPart, Overlay, Role
from tracegraph.levels.levels import InState
from tracegraph.levels.mood import Device, Mood
from tracegraph.meter.live.level import Level
from tracegraph.views.levels_page import every_way, spanned

UNKNOWN = "?"
TOLD = frozenset({Mood.ON, Mood.OFF, Mood.SATURATED, Mood.ACTIVE, Mood.HALF})


def levels_overlay(found: InState, meter: str) -> Overlay:
    """Return the level at every net over its own ground, and how the switches stand.

    Args:
        found: The section in one state.
        meter: What the meter is called.
    """
    levels = found.live.levels if found.live else ()
    either = {one.net for one in levels if one.others}
    marks = (
        *(_mark(one) for one in levels if one.net != one.ground),
        *(
            _device(one)
            for one in found.devices
            if one.mood in TOLD and not either & {*one.controls, *one.carries}
        ),
    )
    return Overlay(
        f"levels in {found.state.name}",
        marks,
        legend=tuple(_legend(marks, found, meter)),
    )


def _mark(level: Level) -> Mark:
    text = _short(level)
    span = spanned(level)
    more = f"{level.net} over {level.ground}: {text}"
    if level.uncertain:
        more += f", {span}; depends on {level.uncertain[0]}; {level.ask}"
    elif level.plug:
        more += f", {level.plug} decides; it floats unplugged"
    elif level.floats:
        more += "; nothing holds it"
    else:
        more += f" ({span} healthy)" if level.window else f" ({span})"
    return Mark(OnNet(level.net), Role.LEVEL, text, more=f"{more}.")


def _short(level: Level) -> str:
    """Return a level in a few letters."""
    if level.uncertain or level.plug:
        return UNKNOWN
    if level.floats:
        return "floats"
    if level.others:
        return "/".join(every_way(level))
    return volts(level.volts or 0.0 if level.shown is None else level.shown)


def _device(device: Device) -> Mark:
    more = f"{device.ref} {device.words}."
    return Mark(OnPart(device.ref), Role.NOTE, device.mood.value, more=more)


def _legend(marks: tuple[Mark, ...], found: InState, meter: str) -> Iterator[str]:
    yield f"levels in state {found.state.name}, each over its own ground; meter {meter}"
    if any(mark.text == UNKNOWN for mark in marks):
        yield f"{UNKNOWN}  an unknown or a plug decides: ask `tracegraph levels`"
