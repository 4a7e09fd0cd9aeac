"""Where levels are measured beside the grounds, and which plug decides what floats."""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence

from tracegraph.meter.live.standing import Standing
from tracegraph.stage.branch import Channel, Conductor
from tracegraph.stage.jobs import is_plug, shunted
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage


def own_pairs(stage: Stage) -> tuple[tuple[str, str], ...]:
    """Return gates over their own sources and supplies over their own returns.

    Where the source or return is a ground, or but a shunt away from one, there is
    nothing to tell beside the level over ground.
    """
    grounds = {one.net for one in stage.grounds}
    behind = shunted(stage)
    pairs = [
        (part.pins[a], part.pins[b])
        for part in stage.parts
        if part.fitted
        for a, b in _own(part)
        if {a, b} <= part.pins.keys()
    ]
    pairs += [(rail.net, rail.over) for rail in stage.rails if rail.over]
    apart = ((a, b) for a, b in pairs if a != b and behind.get(b, b) not in grounds)
    return tuple(dict.fromkeys(apart))


def _own(part: Part) -> Iterator[tuple[str, str]]:
    if any(isinstance(one, Channel) for one in part.kind.cold(part)):
        yield ("g", "s") if "s" in part.pins else ("g", "e")
    if part.kind.word == "bridgedriver":
        yield "vb", "vs"


def plugged(found: Standing, floating: Sequence[str]) -> Mapping[str, str]:
    """Return for nets that float the connector that a way of conductors leads to."""
    beside: dict[str, set[str]] = {net: set() for net in floating}
    for placed in found.circuit.placed:
        a, b, *_ = (*placed.nets, "", "")
        if isinstance(placed.branch, Conductor) and {a, b} <= beside.keys():
            beside[a].add(b)
            beside[b].add(a)
    told: dict[str, str] = {}
    for part in found.stage.parts:
        queue = deque(part.pins.values() if is_plug(part) else ())
        while queue:
            net = queue.popleft()
            if net in beside and net not in told:
                told[net] = part.ref
                queue += beside[net]
    return told
