"""Which plug decides what floats."""

from collections import deque
from collections.abc import Mapping, Sequence

from tracegraph.meter.live.standing import Standing
from tracegraph.stage.branch import Conductor
from tracegraph.stage.jobs import is_plug


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
