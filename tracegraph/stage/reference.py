"""Which ground a net belongs to: the nearest one that a path of parts leads to."""

from collections import defaultdict, deque
from collections.abc import Mapping

from tracegraph.stage.branch import terminals
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
