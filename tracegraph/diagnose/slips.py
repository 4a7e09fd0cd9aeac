"""What may be wrong beside the parts: bridges, tracks, supplies, slips of the tracing."""

from collections.abc import Collection, Iterator
from itertools import combinations
from math import inf
from types import MappingProxyType

from tracegraph.diagnose.faults import canonical, varied
from tracegraph.diagnose.hypothesis import (
    EXCHANGED,
    Hypothesis,
    Range,
    between,
    repin_of,
)
from tracegraph.diagnose.priors import Priors
from tracegraph.diagnose.verdict import Sort
from tracegraph.display import show
from tracegraph.network.family import Dead, Repin
from tracegraph.quantity import exact
from tracegraph.stage.branch import Store
from tracegraph.stage.change import Cut, Permute, Tie, Vary
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.stage import Stage

TOUCHED = (
    4.0  # how much likelier solder splashes and dry joints are where one has soldered
)
TEN = 10.0
LEAST_PATH, MOST_PATH = 1.0, 1e6


def bridges(stage: Stage, priors: Priors) -> Iterator[Hypothesis]:
    """Yield nets that lie close found joined: they share a part."""
    close: dict[tuple[str, str], float] = {}
    for part in stage.parts:
        for a, b in combinations(sorted(set(part.pins.values())), 2):
            raised = TOUCHED if part.touched else 1.0
            close[a, b] = max(close.get((a, b), 0.0), raised)
    for (a, b), raised in close.items():
        yield Hypothesis(
            "bridge",
            f"{a} and {b} bridged",
            Sort.BRIDGE,
            (),
            (a, b),
            priors.figure("board.bridge") * raised,
            (Tie(a, b),),
            between(a, b),
            ((Range(0.0, 0.0), 1.0),),
        )


def tracks(stage: Stage, priors: Priors) -> Iterator[Hypothesis]:
    """Yield a dry joint or broken track at every pin that shares its net."""
    for net, pins in stage.nets.items():
        for pin in pins:
            part = stage.part(pin.part)
            if part and part.fitted and _carries(part) and len(pins) > 1:
                yield _track(stage, part, net, pin, priors)


def _carries(part: Part) -> bool:
    return bool(part.kind.cold(part))


def _track(stage: Stage, part: Part, net: str, pin: Pin, priors: Priors) -> Hypothesis:
    resistor = varied(stage, part.ref) if len(part.pins) == 2 else None
    changes = (canonical(stage, Cut(pin)),)
    chance = priors.figure("board.track") * (TOUCHED if part.touched else 1.0)
    return Hypothesis(
        "broken track",
        f"track or joint between {net} and {pin} open",
        Sort.TRACK,
        (part.ref,),
        (net,),
        chance,
        changes,
        resistor or repin_of(stage, changes),
        ((Range(inf, inf), 1.0),) if resistor else (),
        blind=all(isinstance(one, Store) for one in part.kind.cold(part)),
    )


def dead_rails(stage: Stage, priors: Priors) -> Iterator[Hypothesis]:
    """Yield rails that are not there when the board is powered."""
    for rail in stage.rails:
        if rail.volts.typical:
            yield Hypothesis(
                "rail missing",
                f"the rail {rail.net} is not there",
                Sort.SUPPLY,
                (),
                (rail.net,),
                priors.figure("board.dead_rail"),
                (),
                Dead(rail.net),
            )


def slips(stage: Stage, priors: Priors) -> Iterator[Hypothesis]:
    """Yield what the file may have wrong while the board is right."""
    yield from _missed_paths(stage, priors)
    for part in stage.parts:
        if part.fitted and part.pinout:
            yield from _misread(stage, part, priors)
            yield from _swapped(stage, part, priors)


def _missed_paths(stage: Stage, priors: Priors) -> Iterator[Hypothesis]:
    nets = [net for net, pins in stage.nets.items() if pins or net in stage.references]
    wire = priors.figure("tracing.path_wire")
    ranges = ((Range(0.0, 0.0), wire), (Range(LEAST_PATH, MOST_PATH), 1 - wire))
    usual, high = (
        priors.figure(f"tracing.{name}") for name in ("path", "path_untraced")
    )
    each = {net: high if net in stage.untraced else usual for net in nets}
    for a, b in combinations(nets, 2):
        yield Hypothesis(
            "missed path",
            f"a path between {a} and {b} that is not in the file",
            Sort.SLIP,
            (),
            (a, b),
            (each[a] + each[b]) / 2 / max(len(nets) - 1, 1),
            (Tie(a, b, 1e3),),
            between(a, b),
            ranges,
        )


def _misread(stage: Stage, part: Part, priors: Priors) -> Iterator[Hypothesis]:
    way = varied(stage, part.ref)
    if way is None:
        return
    ohms = part.quantity("r").typical or 0.0
    for value in (ohms * TEN, ohms / TEN):
        yield Hypothesis(
            "value misread",
            f"{part.ref} is {show(value, 'ohm')} on the board, misread for the file",
            Sort.SLIP,
            (part.ref,),
            tuple(dict.fromkeys(part.pins.values())),
            priors.figure("tracing.misread") / 2,
            (Vary(part.ref, "r", exact(value, "ohm")),),
            way,
            ((Range(value, value), 1.0),),
        )


def _swapped(stage: Stage, part: Part, priors: Priors) -> Iterator[Hypothesis]:
    """Yield two pins of a three-legged part exchanged in the file."""
    if len(part.pins) != 3:
        return
    for a, b in combinations(part.pins, 2):
        if part.pins[a] != part.pins[b]:
            changes = (Permute(part.ref, MappingProxyType({a: b, b: a})),)
            yield Hypothesis(
                EXCHANGED,
                f"{part.ref}.{a} and {part.ref}.{b} exchanged in the file",
                Sort.SLIP,
                (part.ref,),
                tuple(dict.fromkeys(part.pins.values())),
                priors.figure("tracing.swapped_pins") / 3,
                changes,
                repin_of(stage, changes),
            )


def moved_pins(
    stage: Stage, priors: Priors, refs: Collection[str]
) -> Iterator[Hypothesis]:
    """Yield pins of some parts that sit on another net than the file says.

    On one close by, that shares a part with the net in the file, and where the part
    has no pin yet. There are many, so they are thought of only where nothing else
    explains the readings.
    """
    close: dict[str, set[str]] = {}
    for part in stage.parts:
        for net in part.pins.values():
            close.setdefault(net, set()).update(part.pins.values())
    for part in stage.parts:
        if part.fitted and part.ref in refs:
            for pin, net in part.pins.items():
                others = sorted(close[net] - set(part.pins.values()))
                for other in others:
                    yield _moved(stage, part, pin, other, priors, len(others))


def _moved(
    stage: Stage, part: Part, pin: str, net: str, priors: Priors, choices: int
) -> Hypothesis:
    name = f"{part.ref}.{pin}"
    return Hypothesis(
        "pin on another net",
        f"{name} is on {net}, not on {part.pins[pin]} as in the file",
        Sort.SLIP,
        (part.ref,),
        (part.pins[pin], net),
        priors.figure("tracing.moved_pin") / choices,
        (Cut(Pin(part.ref, pin)), Tie(name, net)),
        Repin(part.ref, ((pin, net),)),
    )
