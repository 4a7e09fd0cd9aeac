"""Which inputs switch at a net, how, and how the others stand meanwhile."""

from collections import deque
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tracegraph.display import show
from tracegraph.network.pulse import Pulse
from tracegraph.quantity import Quantity
from tracegraph.stage.stage import Input, Stage, State
from tracegraph.stage.state import find_state
from tracegraph.waves.result import Driven, WaveError

EDGE = 20e-9  # seconds of a controller's edge: common practice, no source
EDGE_SHARE = 1 / 200  # of a period, at most
BEFORE = 0.1  # of a period: what a trace shows before the input rises
DEAD = 0.5e-6  # seconds between a half bridge's two inputs: common practice, no source
DEAD_SHARE = 0.02  # of a period, at most
HALF = 0.5  # of the period: the duty where none is written
LOW, HIGH = "low", "high"
# Power stages switch between some 400 Hz and 1 MHz: common practice, no source.
SLOWEST, FASTEST = 50.0, 2e6


class Drive(NamedTuple):
    """How the inputs are driven for a wave.

    Attributes:
        inputs: Those that switch, the nearest first.
        pulses: What each does, by its net.
        settings: How every input stands as the wave begins, by net.
        taken: What was assumed.
        doubts: What looks like a slip.
    """

    inputs: tuple[Driven, ...]
    pulses: dict[str, Pulse]
    settings: dict[str, str | Quantity]
    taken: tuple[str, ...]
    doubts: tuple[str, ...]


def drive_of(stage: Stage, net: str, state: str | None) -> Drive:
    """Return how the inputs are driven for a wave at a net.

    Raises:
        WaveError: No input switches, or one lacks a level.
    """
    switching = _switching(stage, net)
    inputs = tuple(_driven(one) for one in switching)
    declared = find_state(stage, state) if state else _first(stage)
    taken = list(_assumed(stage, declared, switching, told=state is not None))
    pulses, words = _pulses(inputs)
    settings = dict(_settings(stage, declared, {one.net for one in inputs}))
    return Drive(
        inputs, pulses, settings, (*taken, *words), tuple(_doubts(inputs, switching))
    )


def _switching(stage: Stage, net: str) -> tuple[Input, ...]:
    """Return the inputs that switch: the nearest to the net, and its partner.

    A partner has the same frequency and stands at the same chip.
    """
    able = [one for one in stage.inputs if one.hertz]
    if not able:
        raise WaveError(_no_frequency(stage, net))
    away = _distances(stage, net)
    able.sort(key=lambda one: away.get(one.net, len(stage.nets)))
    first = able[0]
    around = _distances(stage, first.net)
    others = [
        one
        for one in able[1:]
        if one.hertz == first.hertz and around.get(one.net, NEAR + 1) <= NEAR
    ]
    others.sort(key=lambda one: around[one.net])
    return (first, *others[:1])


NEAR = 4  # parts between two inputs of one chip: a resistor, the chip, a resistor


def _no_frequency(stage: Stage, net: str) -> str:
    if not stage.inputs:
        return (
            f"nothing drives {net}: no input is declared; write the controller's net "
            "with its levels, frequency and duty, such as "
            "`input PWM 0V / 5V via 220R 18kHz 45%`"
        )
    one = stage.inputs[0]
    levels = " / ".join(f"{level.typical or 0:g}V" for level in (one.low, one.high))
    line = f" (line {one.span[0]})" if one.span else ""
    return (
        f"input {one.net}{line} has no frequency: write it with its duty, such as "
        f"`input {one.net} {levels} via {one.via.typical or 0:g}R 18kHz 45%`"
    )


def _distances(stage: Stage, net: str) -> dict[str, int]:
    """Return how many parts lie between a net and others, not through supplies."""
    beside: dict[str, set[str]] = {}
    for part in stage.parts:
        nets = {*part.pins.values()}
        for one in nets:
            beside.setdefault(one, set()).update(nets)
    found, queue, ends = {net: 0}, deque([net]), set(stage.references)
    while queue:
        here = queue.popleft()
        for other in beside.get(here, set()) - found.keys() - ends:
            found[other] = found[here] + 1
            queue.append(other)
    return found


def _driven(one: Input) -> Driven:
    low, high, hertz = one.low.typical, one.high.typical, one.hertz
    if low is None or high is None or not hertz or one.via.typical is None:
        raise WaveError(f"input {one.net}: its levels or its `via` have no value")
    duty = HALF if one.duty is None else one.duty
    if not 0 < duty < 1:
        raise WaveError(
            f"input {one.net} is at {show(duty, '%')} and does not switch: nothing to show; "
            "write the duty at which it runs"
        )
    return Driven(one.net, low, high, one.via, hertz, duty)


def _first(stage: Stage) -> State | None:
    return stage.states[0] if stage.states else None


def _settings(
    stage: Stage, declared: State | None, switching: set[str]
) -> Iterator[tuple[str, str | Quantity]]:
    told = {name.lower(): value for name, value in _told(declared)}
    for one in stage.inputs:
        level = LOW if one.net in switching else told.get(one.net.lower(), LOW)
        yield one.net, level


def _told(declared: State | None) -> Sequence[tuple[str, str | Quantity]]:
    return list(declared.settings.items()) if declared else []


def _assumed(
    stage: Stage, declared: State | None, switching: Sequence[Input], *, told: bool
) -> Iterator[str]:
    """Yield what was assumed of the inputs."""
    names = {one.net for one in switching}
    others = [one for one in stage.inputs if one.net not in names]
    set_ = {name.lower() for name, _ in _told(declared)}
    for one in switching:
        if one.duty is None:
            yield f"no duty is written for {one.net}: 50 % taken"
    low = [one.net for one in others if one.net.lower() not in set_]
    if low:
        yield f"{', '.join(low)} held low"
    rest = [one.net for one in others if one.net.lower() in set_]
    elsewhere = set_ - {one.net.lower() for one in stage.inputs}
    if declared and not told and (rest or elsewhere):
        yield f"everything else as in state {declared.name}"


def _pulses(inputs: tuple[Driven, ...]) -> tuple[dict[str, Pulse], list[str]]:
    """Return the pulses of the inputs; two of one chip take turns."""
    period = 1 / inputs[0].hertz
    edge = min(EDGE, EDGE_SHARE * period)
    widths = [one.duty * period for one in inputs]
    starts, words = [BEFORE * period], []
    if len(inputs) > 1:
        dead = min(DEAD, DEAD_SHARE * period)
        free = period - sum(widths)
        if free < 2 * dead:
            cut = (2 * dead - free) / 2
            widths = [one - cut for one in widths]
            free = 2 * dead
        starts.append(starts[0] + widths[0] + free / 2)
        one, two = (each.net for each in inputs)
        words.append(
            f"{one} and {two} taken in turns, {free / 2 * 1e6:.3g} µs between them"
        )
    pulses = {
        one.net: Pulse(one.low, one.high, start, width, period, edge)
        for one, start, width in zip(inputs, starts, widths, strict=True)
    }
    return pulses, words


def _doubts(inputs: tuple[Driven, ...], written: Sequence[Input]) -> Iterator[str]:
    for one, source in zip(inputs, written, strict=True):
        line = f" (line {source.span[0]})" if source.span else ""
        if one.hertz < SLOWEST:
            yield (
                f"{one.net}{line} switches {one.hertz:g} times a second: "
                f"{one.hertz:g} kHz meant?"
            )
        elif one.hertz > FASTEST:
            yield (
                f"{one.net}{line} switches at {one.hertz / 1e6:g} MHz: "
                f"{one.hertz / 1e6:g} kHz meant?"
            )
