"""A section in all its states: as it is, without each part, and with each shorted."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import NamedTuple

from tracegraph.levels.states import ALWAYS, asked
from tracegraph.meter.live.lacking import Levels, Seen, Way, seen
from tracegraph.meter.live.standing import StandingError, standings
from tracegraph.meter.unknowns.every import powered
from tracegraph.meter.unknowns.unknown import usual
from tracegraph.network.circuit import UnknownValueError
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

FLOATING = 2e6
"""Ohms beyond which nothing holds a net: a megohm still does (common practice)."""
UNPLUGGED = "with the controller unplugged"
_NEVER_SHORT = frozenset({"fuse", "jumper", "connector", "testpoint", "inductor"})
_MAIN_PINS = (("c", "e"), ("d", "s"))


class Scene(NamedTuple):
    """One state of a section.

    Attributes:
        words: `in run`, or `with the controller unplugged`.
        base: The section as it is.
        without: By designator; None where it did not settle.
        shorted: Likewise; parts that are not shorted are not in it.
    """

    words: str
    base: Seen
    without: Mapping[str, Seen | None]
    shorted: Mapping[str, Seen | None]


class Scenes(NamedTuple):
    """Every state that could be worked out.

    Attributes:
        stage: The section, what is unknown of it taken as usual.
        scenes: The states.
        taken: What was taken.
        untold: What could not be worked out.
    """

    stage: Stage
    scenes: tuple[Scene, ...]
    taken: tuple[str, ...]
    untold: tuple[str, ...]


def scenes(stage: Stage, refs: Collection[str] | None = None) -> Scenes:
    """Return a section in all its states, and with the controller unplugged.

    Args:
        stage: The section.
        refs: Designators of the parts to be taken out and shorted; all if left out.
    """
    known, taken = _known(stage)
    known, names = asked(known)
    parts = [
        one for one in known.parts if one.fitted and (refs is None or one.ref in refs)
    ]
    found: list[Scene] = []
    untold: list[str] = []
    near: list[Levels] = []
    if not known.grounds:
        untold.append("no ground is declared, so nothing can be powered")
        return Scenes(known, (), taken, tuple(untold))
    for state, words, off in _scenes(known, names):
        try:
            rest = _rest(known, state)
            scene = _scene(known, state, words, off, parts, (rest.levels, *near))
        except (UnknownValueError, StandingError) as why:
            untold.append(f"{words}: {why}")
            continue
        doubt = _doubt(known, scene, rest, off)
        if scene is None or doubt:
            untold.append(f"{words} {doubt or 'no steady level was found'}")
            continue
        if rest.ways > 1 and not off:
            taken = (*taken, f"{words} it may rest in {rest.ways} ways: this is one")
        found.append(scene)
        near.append(scene.base.volts)
    return Scenes(known, tuple(found), taken, tuple(untold))


class _Rest(NamedTuple):
    """How a section rests in a state: its levels, how many ways, whether it lasts."""

    levels: Levels
    ways: int
    lasts: bool


def _rest(stage: Stage, state: str) -> _Rest:
    many = standings(stage, state)
    first = many[0]
    levels = {
        net: float(first.nodes[node]) for net, node in first.circuit.nodes.items()
    }
    return _Rest(levels, len(many), first.lasts)


def _doubt(stage: Stage, scene: Scene | None, rest: _Rest, off: tuple[str, ...]) -> str:
    """Return why a state is not told of, or empty."""
    if scene is None:
        return ""
    if not off:
        return "" if rest.lasts else "it never comes to rest"
    loose = _loose(stage, scene.base)
    verb = "floats" if len(loose) == 1 else "float"
    return (
        f"{', '.join(loose)} {verb}, and what follows is left to leakage"
        if loose
        else ""
    )


def _scenes(
    stage: Stage, names: Iterable[str]
) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield the states: name, words, and what is switched off in it."""
    for name in names:
        yield name, ALWAYS if name == ALWAYS else f"in {name}", ()
    if stage.inputs:
        off = tuple(f"input {one.net}" for one in stage.inputs)
        yield stage.states[0].name, UNPLUGGED, off


def _scene(
    stage: Stage,
    state: str,
    words: str,
    off: tuple[str, ...],
    parts: Collection[Part],
    near: Collection[Levels],
) -> Scene | None:
    short = {one.ref: ends for one in parts if (ends := shorted_ends(one))}
    ways = [Way(off)]
    ways += [Way((*off, one.ref)) for one in parts]
    first, *rest = seen(stage, state, ways, tuple(near))
    if first is None:
        return None
    bridged = [Way(off), *(Way(off, ends) for ends in short.values())]
    _, *joined = seen(stage, state, bridged, (*near, first.volts))
    return Scene(
        words,
        first,
        dict(zip([one.ref for one in parts], rest, strict=True)),
        dict(zip(short, joined, strict=True)),
    )


def _loose(stage: Stage, base: Seen) -> list[str]:
    """Return the inputs of chips that nothing holds once the controller is out."""
    driven = {one.net for one in stage.inputs}
    return [
        net
        for net in dict.fromkeys(net for net, _ in chip_inputs(stage))
        if net in driven and base.ohms.get(net, FLOATING) >= FLOATING
    ]


def chip_inputs(stage: Stage) -> Iterator[tuple[str, str]]:
    """Yield the nets on inputs of chips, each with the chip."""
    for part in stage.parts:
        for pin, net in part.pins.items() if part.fitted else ():
            spec = part.kind.pin(pin)
            if spec and "input" in spec.role:
                yield net, part.ref


def shorted_ends(part: Part) -> tuple[str, str] | None:
    """Return the nets that a shorted part joins, or None where that tells nothing."""
    if part.kind.word in _NEVER_SHORT:
        return None
    for a, b in _MAIN_PINS:
        if a in part.pins and b in part.pins and part.pins[a] != part.pins[b]:
            return part.pins[a], part.pins[b]
    nets = tuple(dict.fromkeys(part.pins.values()))
    if len(part.pins) == len(nets) == 2:
        return nets[0], nets[1]
    return None


def _known(stage: Stage) -> tuple[Stage, tuple[str, ...]]:
    """Return the section with what is unknown taken as the most usual."""
    unknowns = powered(stage)
    taken = tuple(
        f"{one.subject} is not known: taken as {one.alternatives[0].words}"
        for one in unknowns
    )
    return usual(stage, unknowns), taken
