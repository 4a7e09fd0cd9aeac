"""The levels of a powered section as a page: the table, then the walk, state by state."""

from collections.abc import Iterator, Sequence

from tracegraph.display import volts
from tracegraph.levels.levels import InState, Levels
from tracegraph.levels.stress import worth_telling
from tracegraph.meter.live.level import Level
from tracegraph.stage.stage import State
from tracegraph.views.amounts import amount
from tracegraph.views.page import GAP, Block, Line, Page, Table, Tone, caution, title
from tracegraph.views.words import window

ABREAST = 2  # states that stand side by side in a table of eighty columns
FEW = 4  # things to settle that are listed


def levels_page(
    heading: str,
    found: Levels,
    cautions: Sequence[str] = (),
    more: Sequence[Block] = (),
) -> Page:
    """Return the levels as a page.

    Args:
        heading: What the section is called.
        found: The levels.
        cautions: What to heed before probing.
        more: What else is told of the section, such as its DC link.
    """
    told = [one for one in found.states if one.live is not None]
    return (
        title(heading),
        Line(f"Powered, what a meter of 10 M shows ({found.meter}).", Tone.FAINT),
        *map(caution, cautions),
        *_tables(told),
        *(block for one in found.states for block in _state(one)),
        *_asks(told),
        *more,
        *_left_out(found),
    )


def _tables(states: Sequence[InState]) -> Iterator[Block]:
    """Yield the nets against the states, some states at a time."""
    for first in range(0, len(states), ABREAST):
        some = states[first : first + ABREAST]
        yield GAP
        head = ("net", "over", *(one.state.name for one in some))
        yield Table(head, tuple(_rows(some)))


def _rows(states: Sequence[InState]) -> Iterator[tuple[str, ...]]:
    columns = [(*one.live.levels, *one.live.own) if one.live else () for one in states]
    for cells in zip(*columns, strict=True):
        net, ground = cells[0].net, cells[0].ground
        if net != ground:
            yield (net, ground, *(_cell(one) for one in cells))
    adrift = next((one.live.adrift for one in states if one.live), ())
    for net in adrift:
        yield (net, "-", *("no ground reaches it" for _ in states))


def _cell(level: Level) -> str:
    """Return a level with the window of healthy boards, or what keeps it open."""
    span = spanned(level)
    if level.uncertain:
        return f"unknown\n  {span}"
    if level.floats:
        if level.plug:
            return f"{level.plug} decides\n  floats unplugged"
        return f"floats\n  meter {volts(level.shown)}" if level.shown else "floats"
    if level.others:
        return " or ".join(every_way(level))
    shown = level.volts if level.shown is None else level.shown
    text = volts(shown or 0.0)
    if level.loaded:
        text = f"{text} (true {volts(level.volts or 0.0)})"
    return f"{text}\n  {span}" if abs(shown or 0.0) >= LEAST else text


def every_way(level: Level) -> tuple[str, ...]:
    """Return the levels at which a net may rest, the lowest first."""
    every = sorted((level.volts or 0.0, *level.others))
    return tuple(dict.fromkeys(volts(one) for one in every))


def spanned(level: Level) -> str:
    """Return the window of a level in words."""
    return window(*level.window, "V") if level.window else "window not known"


LEAST = 0.05  # volts under which no window is told


def _state(one: InState) -> Iterator[Block]:
    yield GAP
    yield title(_named(one.state))
    if one.error:
        yield Line(f"{one.error}.", Tone.ASK)
        return
    for remark in one.remarks:
        yield Line(f"{remark[:1].upper()}{remark[1:]}.", Tone.ASK)
    for sentence in one.walk:
        yield Line(sentence, mark="- ")
    for load in worth_telling(one.loads):
        yield Line(f"{load.text}.", Tone.ASK if load.over else Tone.PLAIN, mark="- ")


def _named(state: State) -> str:
    """Return a state with what it sets."""
    sets = " ".join(
        f"{name}={told if isinstance(told, str) else amount(told)}"
        for name, told in state.settings.items()
    )
    return f"{state.name}: {sets}" if sets and sets != state.name else state.name


def _asks(states: Sequence[InState]) -> Iterator[Block]:
    """Yield what to do about the unknowns, the commonest first."""
    asks = [
        level.ask
        for one in states
        for level in (one.live.levels if one.live else ())
        if level.ask
    ]
    found = sorted(dict.fromkeys(asks), key=lambda ask: -asks.count(ask))
    if found:
        yield GAP
        yield title("To settle what is unknown")
        for ask in found[:FEW]:
            yield Line(f"{ask[:1].upper()}{ask[1:]}.", Tone.ASK, mark="- ")


def _left_out(found: Levels) -> Iterator[Block]:
    if found.left_out:
        words = (
            f"{found.left_out} more combinations of the inputs are left out: declare "
            "the states that matter (`state run PWM=high ...`)."
        )
        yield GAP
        yield Line(words, Tone.ASK)
