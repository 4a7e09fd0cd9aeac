"""Which readings a question asks for: a pair of points, or a part over its pins."""

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations, permutations

from tracegraph.meter.expect import Probe
from tracegraph.meter.profile import Profile
from tracegraph.nearest import did_you_mean
from tracegraph.stage.branch import Store, terminals
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

USUAL = (Mode.OHMS, Mode.DIODE, Mode.BEEP)
FEW_NETS = 4  # a part on more is probed only where something inside leads across


class PointError(ValueError):
    """A question names a point or part in a way that cannot be answered."""


def pair_probes(
    stage: Stage, red: str, black: str, mode: Mode | None, profile: Profile
) -> tuple[Probe, ...]:
    """Return the readings between two points, the direction asked for first.

    With a mode, just that one; without, every mode of the meter that tells something
    here, both ways round.

    Raises:
        PointError: A point is a part, or no net and no pin of the section.
    """
    red, black = _point(stage, red), _point(stage, black)
    if mode:
        return (Probe(red, black, mode),)
    modes = list(_modes(stage, (stage.net(red), stage.net(black)), profile))
    ways = ((red, black), (black, red))
    return tuple(Probe(*way, one) for way in ways for one in modes)


def part_probes(
    stage: Stage, parts: Sequence[Part], mode: Mode | None, profile: Profile
) -> tuple[Probe, ...]:
    """Return every reading over a part's own pins, each net once."""
    found: list[Probe] = []
    for part in parts:
        for red, black in _pin_pairs(part):
            nets = {part.pins[red], part.pins[black]}
            modes = (mode,) if mode else _modes(stage, nets, profile)
            ends = (f"{part.ref}.{red}", f"{part.ref}.{black}")
            found += [Probe(*ends, one) for one in modes]
    return tuple(found)


def parts_called(stage: Stage, name: str) -> tuple[Part, ...]:
    """Return the part of this name, or the units of its package.

    Raises:
        PointError: There is no such part; says what was probably meant.
    """
    wanted = name.lower()
    parts = [
        one for one in stage.parts if wanted in {one.ref.lower(), one.package.lower()}
    ]
    if parts:
        return tuple(parts)
    if stage.net(name):
        raise PointError(f"{name} is a net: name the second point as well")
    refs = [part.ref for part in stage.parts]
    raise PointError(f"there is no part called {name}{did_you_mean(name, refs)}")


def _point(stage: Stage, name: str) -> str:
    """Return a probe's place as first written: a net, or a pin."""
    net = stage.net(name)
    if net and net.lower() == name.lower():
        return net
    if net:
        return str(stage.pin(name))
    part = stage.part(name)
    if part:
        pins = ", ".join(f"{part.ref}.{pin}" for pin in part.pins)
        raise PointError(f"{part.ref} is a part: say which pin ({pins})")
    ref = stage.part(name.rpartition(".")[0])
    near = [f"{ref.ref}.{pin}" for pin in ref.pins] if ref else list(stage.nets)
    raise PointError(f"there is no net or pin called {name}{did_you_mean(name, near)}")


def _modes(
    stage: Stage, nets: Collection[str | None], profile: Profile
) -> Iterator[Mode]:
    """Yield the usual modes; capacitance where there is one and the meter can."""
    yield from USUAL
    if profile.cap and any(_stores(part, nets) for part in stage.parts):
        yield Mode.CAP


def _stores(part: Part, nets: Collection[str | None]) -> bool:
    if not part.fitted or len(part.pins) != 2 or set(part.pins.values()) != set(nets):
        return False
    return any(isinstance(branch, Store) for branch in part.kind.cold(part))


def _pin_pairs(part: Part) -> Iterator[tuple[str, str]]:
    """Yield pairs of pins on different nets, each pair of nets once a direction."""
    first: dict[str, str] = {}
    for pin, net in part.pins.items():
        first.setdefault(net, pin)
    pins = list(first.values())
    if len(pins) <= FEW_NETS:
        yield from permutations(pins, 2)
        return
    for a, b in _inner_pairs(part) or [(pin, pins[0]) for pin in pins[1:]]:
        yield from ((a, b), (b, a))


def _inner_pairs(part: Part) -> list[tuple[str, str]]:
    """Return pairs of pins between which something inside the part leads."""
    found: dict[frozenset[str], tuple[str, str]] = {}
    for branch in part.kind.cold(part):
        outer = [pin for pin in terminals(branch) if pin in part.pins]
        for a, b in combinations(outer, 2):
            nets = frozenset((part.pins[a], part.pins[b]))
            if len(nets) == 2:
                found.setdefault(nets, (a, b))
    return list(found.values())
