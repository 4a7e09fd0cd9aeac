"""Grounds, rails, rests, inputs, links and marks as lines."""

from typing import NamedTuple

from tracegraph.display import written
from tracegraph.quantity import Origin, Quantity
from tracegraph.stage.stage import Input, Link, Rail, Rest, RestForm, Stage, State
from tracegraph.stage.writing.amounts import spread


def rail_line(rail: Rail, ground: str) -> str:
    """Return a rail with its volts, tolerance, and ground if it is not the first."""
    over = [f"over {rail.over}"] if rail.over not in {ground, ""} else []
    volts = ["?"]
    if rail.volts.typical is not None:
        volts = [written(rail.volts.typical, "V"), written(spread(rail.volts), "%")]
    return " ".join((f"rail {rail.net}", *volts, *over))


def rest_line(rest: Rest) -> str:
    """Return what the rest of the board was seen to be."""
    return f"rest {rest.a} -- {rest.b} {_rest(rest)}"


def _rest(rest: Rest) -> str:
    match rest.form:
        case RestForm.NONE:
            return "none"
        case RestForm.DIODE:
            return f"diode {_drop(rest.forward)} / {_drop(rest.backward)}"
        case RestForm.OHMS:
            return _typical(rest.ohms)
        case RestForm.CAPACITANCE:
            return _typical(rest.farads)


def _drop(volts: float | None) -> str:
    return "OL" if volts is None else written(volts, "V")


def _typical(told: Quantity | None) -> str:
    return (
        "none"
        if told is None or told.typical is None
        else written(told.typical, told.unit)
    )


def input_line(driven: Input) -> str:
    """Return a driven net with levels, driver, frequency and duty."""
    words = [f"input {driven.net}"]
    if driven.high.typical is not None:
        words.append(f"{_typical(driven.low)} / {_typical(driven.high)}")
    if driven.via.origin is Origin.WRITTEN:
        words.append(f"via {_typical(driven.via)}")
    if driven.hertz is not None:
        words.append(written(driven.hertz, "Hz"))
    if driven.duty is not None:
        words.append(written(driven.duty, "%"))
    return " ".join(words)


def link_line(link: Link) -> str:
    """Return a joint: a wire, a beep that is not yet trusted, or a bridge."""
    tail = "" if link.trusted else " ?"
    tail = f" {written(link.ohms, 'ohm')}" if link.ohms else tail
    return f"{link.form} {link.a} {link.b}{tail}"


def state_line(state: State) -> str:
    """Return a state with its settings."""
    settings = (
        f"{name}={value if isinstance(value, str) else _typical(value)}"
        for name, value in state.settings.items()
    )
    return " ".join((f"state {state.name}", *settings))


class Told(NamedTuple):
    """A line with what it speaks of.

    Attributes:
        sort: Which sort of line it is.
        names: The nets and pins that it speaks of.
        line: Its text.
    """

    sort: str
    names: tuple[str, ...]
    line: str


def declarations(stage: Stage) -> list[Told]:
    """Return grounds, rails, rests and inputs as lines."""
    first = stage.grounds[0].net if stage.grounds else ""
    lines = [Told("ground", (g.net,), f"ground {g.net}") for g in stage.grounds]
    lines += [Told("rail", (r.net,), rail_line(r, first)) for r in stage.rails]
    lines += [Told(f"rest {r.form}", (r.a, r.b), rest_line(r)) for r in stage.rests]
    return lines + [Told("input", (i.net,), input_line(i)) for i in stage.inputs]


def joints(stage: Stage) -> list[Told]:
    """Return links, breaks, and marks of what is not traced or not plugged in."""
    lines = [Told(link.form, (link.a, link.b), link_line(link)) for link in stage.links]
    for one in stage.breaks:
        text = f"break {one.net} at {one.pin}"
        lines.append(Told("break", (one.net, str(one.pin)), text))
    loose = [*stage.untraced, *_loose_pins(stage)]
    lines += [Told("loose", (name,), f"not traced {name}") for name in loose]
    return lines + [Told("out", (n,), f"nothing on {n}") for n in stage.unplugged]


def _loose_pins(stage: Stage) -> list[str]:
    return [
        f"{part.ref}.{name}" for part in stage.parts for name in sorted(part.untraced)
    ]
