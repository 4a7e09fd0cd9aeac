"""Lay a section's branches out between nets, cold or in a powered state."""

from collections.abc import Iterator
from typing import NamedTuple

from tracegraph.quantity import Quantity, exact, usual
from tracegraph.stage.branch import (
    Branch,
    Conductor,
    Junction,
    Source,
    Store,
    terminals,
)
from tracegraph.stage.part import Part
from tracegraph.stage.reading import COLD
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Input, Rail, Rest, RestForm, Stage

RAIL_OHMS = exact(0.05, "ohm")  # a bench supply and its leads
NO_LEAK = exact(0.0, "A")
SLOPE = usual(0.080, 0.060, 0.120, "V/dec")  # of a chip's junction behind a rail
ONE_MILLIAMPERE = 1e-3


class Placed(NamedTuple):
    """A branch between nets.

    Attributes:
        owner: Designator of its part, or the line it comes from (`rest P12-COM`).
        branch: The branch, its terminals still named as pins.
        nets: Net of every terminal, in the branch's own order.
    """

    owner: str
    branch: Branch
    nets: tuple[str, ...]


def place(stage: Stage, power: str = COLD) -> tuple[Placed, ...]:
    """Return every branch of a section.

    Args:
        stage: The section; for a powered state with that state put into its parts.
        power: `cold`, or the name of a declared state.
    """
    cold = power == COLD
    placed = [one for part in stage.parts for one in place_part(part, cold=cold)]
    return (*placed, *place_around(stage, power))


def place_around(stage: Stage, power: str = COLD) -> Iterator[Placed]:
    """Yield what is no part: links, and the rest of the board or the supplies."""
    yield from _links(stage)
    yield from _rests(stage) if power == COLD else _supplies(stage, power)


def place_part(part: Part, *, cold: bool) -> Iterator[Placed]:
    """Yield the branches of one part; none if it is not fitted."""
    if not part.fitted:
        return
    model = part.kind.cold if cold or part.kind.live is None else part.kind.live
    for branch in model(part):
        yield Placed(part.ref, branch, tuple(_net(part, x) for x in terminals(branch)))


def _net(part: Part, terminal: str) -> str:
    """Return the net of a pin; a node inside the part is a net of its own."""
    inner = terminal.startswith("*")
    return (
        f"{part.ref}{terminal}"
        if inner
        else part.pins.get(terminal, f"{part.ref}.{terminal}")
    )


def _links(stage: Stage) -> Iterator[Placed]:
    """Yield trusted links and bridges; an untrusted beep is for the meter to weigh.

    What no line of the file says is a path that somebody assumed.
    """
    for link in stage.links:
        if link.trusted:
            wire = Conductor("a", "b", exact(link.ohms, "ohm"))
            form = link.form if link.span else "assumed path"
            yield Placed(f"{form} {link.a}-{link.b}", wire, (link.a, link.b))


def _rests(stage: Stage) -> Iterator[Placed]:
    """Yield what the untraced rest of the board was measured to be."""
    for rest in stage.rests:
        yield from place_rest(rest)


def place_rest(rest: Rest) -> Iterator[Placed]:
    """Yield the branches of one `rest` line, as the meter's reading implies them."""
    owner, nets = f"rest {rest.a}-{rest.b}", (rest.a, rest.b)
    if rest.form is RestForm.OHMS and rest.ohms:
        yield Placed(owner, Conductor("a", "b", rest.ohms), nets)
    elif rest.form is RestForm.CAPACITANCE and rest.farads:
        yield Placed(owner, Store("a", "b", rest.farads), nets)
    elif rest.form is RestForm.DIODE:
        for drop, ends in ((rest.forward, nets), (rest.backward, nets[::-1])):
            if drop is not None:
                yield Placed(owner, _seen(drop), ends)


def _seen(drop: float) -> Junction:
    """Return the junction behind a diode-test reading of `drop` volts at 1 mA."""
    seen = Quantity(drop, drop, drop, "V", at=ONE_MILLIAMPERE)
    return Junction("a", "b", seen, SLOPE, NO_LEAK, family="rest")


def _supplies(stage: Stage, power: str) -> Iterator[Placed]:
    """Yield the sources that stand behind rails and inputs in a powered state."""
    for rail in stage.rails:
        yield _rail(rail)
    settings = next((s.settings for s in stage.states if s.name == power), {})
    by_net = {name.lower(): value for name, value in settings.items()}
    first = stage.grounds[0].net if stage.grounds else ""
    nearest = grounds_of(stage) if stage.grounds[1:] and by_net else {}
    for driven in stage.inputs:
        ground = nearest.get(driven.net, first)
        level = by_net.get(driven.net.lower())
        if level is not None and ground:
            yield _driver(driven, level, ground)


def _rail(rail: Rail) -> Placed:
    source = Source("plus", "minus", rail.volts, RAIL_OHMS)
    return Placed(f"rail {rail.net}", source, (rail.net, rail.over))


def _driver(driven: Input, level: str | Quantity, ground: str) -> Placed:
    """Return the source behind an input in one of its states."""
    if isinstance(level, str):
        level = driven.high if level in {"high", "on", "1"} else driven.low
    source = Source("plus", "minus", level, driven.via)
    return Placed(f"input {driven.net}", source, (driven.net, ground))
