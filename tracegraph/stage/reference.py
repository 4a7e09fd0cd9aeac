"""What a net is measured against: its nearest ground, or a source or return of its own."""

from collections import defaultdict, deque
from collections.abc import Iterator, Mapping

from tracegraph.stage.branch import Channel, terminals
from tracegraph.stage.jobs import shunted
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage


def grounds_of(stage: Stage, *, live: bool = False) -> Mapping[str, str]:
    """Return for every net its nearest ground, counted in parts.

    Only what conducts joins two nets, so that isolated grounds keep apart across an
    optocoupler or a transformer. Nets that no ground reaches are left out.

    Args:
        stage: The section.
        live: Whether it is powered: then a rail leads to what it stands on.
    """
    beside = _neighbours(stage)
    for rail in stage.rails if live else ():
        beside[rail.net].add(rail.over)
        beside[rail.over].add(rail.net)
    found = {ground.net: ground.net for ground in stage.grounds}
    queue = deque(found)
    while queue:
        net = queue.popleft()
        for other in sorted(beside[net]):
            if other not in found:
                found[other] = found[net]
                queue.append(other)
    return found


def reference_of(stage: Stage, net: str) -> str:
    """Return what a net is measured against: a floating gate's own source, else ground.

    A device need not be fitted for it: its gate is looked at without it, too.
    """
    for part in stage.parts:
        for gate, source in _own(part, _GATES):
            if gate == net and _floats(stage, source):
                return source
    return grounds_of(stage).get(net, stage.grounds[0].net)


def own_pairs(stage: Stage) -> tuple[tuple[str, str], ...]:
    """Return gates over their own sources and supplies over their own returns.

    Where the source or return is a ground, or but a shunt away from one, there is
    nothing to tell beside the level over ground.
    """
    fitted = (part for part in stage.parts if part.fitted)
    pairs = [pair for part in fitted for pair in _own(part, (*_GATES, _BOOTSTRAP))]
    pairs += [(rail.net, rail.over) for rail in stage.rails if rail.over]
    apart = ((a, b) for a, b in pairs if a != b and _floats(stage, b))
    return tuple(dict.fromkeys(apart))


_GATES = (("g", "s"), ("g", "e"))
_BOOTSTRAP = ("vb", "vs")


def _own(part: Part, pairs: tuple[tuple[str, str], ...]) -> Iterator[tuple[str, str]]:
    """Yield the nets of pins of a switch or its driver that belong together."""
    drives = part.kind.word == "bridgedriver"
    if drives or any(isinstance(one, Channel) for one in part.kind.cold(part)):
        for a, b in pairs:
            if {a, b} <= part.pins.keys():
                yield part.pins[a], part.pins[b]


def _floats(stage: Stage, net: str) -> bool:
    """Return whether a net is no ground, nor but a shunt away from one."""
    return shunted(stage).get(net, net) not in {one.net for one in stage.grounds}


def _neighbours(stage: Stage) -> Mapping[str, set[str]]:
    """Return for every net the nets that one branch or link leads to."""
    beside: dict[str, set[str]] = defaultdict(set)
    for part in stage.parts:
        for branch in part.kind.cold(part) if part.fitted else ():
            nets = {_net(part.ref, part.pins, pin) for pin in terminals(branch)}
            for net in nets:
                beside[net] |= nets - {net}
    for link in stage.links:
        beside[link.a].add(link.b)
        beside[link.b].add(link.a)
    return beside


def _net(ref: str, pins: Mapping[str, str], pin: str) -> str:
    return pins.get(pin, f"{ref}{pin}")
