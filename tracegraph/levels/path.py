"""How a signal goes through a section: which device follows which, and what holds a net."""

from collections import defaultdict, deque
from collections.abc import Collection, Iterable, Iterator, Sequence
from math import inf
from typing import NamedTuple

from tracegraph.levels.mood import Device
from tracegraph.meter.carriers import legs
from tracegraph.meter.live.standing import Standing
from tracegraph.quantity import Quantity
from tracegraph.stage.branch import Conductor
from tracegraph.stage.stage import Stage

SAME = 0.05  # volts along a path that count as none


class Holder(NamedTuple):
    """What leads from a net to one that is held.

    Attributes:
        parts: Resistors on the way, the nearest first.
        net: The rail, ground or input at the end.
    """

    parts: tuple[str, ...]
    net: str


class Paths:
    """The ways along conductors in a section as it stands."""

    def __init__(self, found: Standing) -> None:
        """Take a section as it stands."""
        self.found = found
        stage = found.stage
        self.fixed = frozenset(_fixed(stage))
        self._ways: dict[str, list[tuple[str, str, float]]] = defaultdict(list)
        for placed, _, flows in legs(found.circuit, found.nodes):
            if isinstance(placed.branch, Conductor):
                a, b = placed.nets
                amps = float(flows[0])
                self._ways[a].append((placed.owner, b, amps))
                self._ways[b].append((placed.owner, a, -amps))

    def beside(self, net: str) -> Iterator[str]:
        """Yield the nets that a conductor leads to, none beyond a rail or ground."""
        for _, other, _ in self._ways[net]:
            if other not in self.fixed:
                yield other

    def ways(self, net: str) -> Sequence[tuple[str, str, float]]:
        """Return the conductors on a net: part, other end, amperes out of the net."""
        return self._ways[net]

    def holder(self, net: str, held: Collection[str]) -> Holder | None:
        """Return what holds a net: the shortest way along conductors to a held net.

        Ways that no current drops a voltage along go first.
        """
        return self._holder(net, held, SAME) or self._holder(net, held, inf)

    def _holder(self, net: str, held: Collection[str], limit: float) -> Holder | None:
        queue: deque[tuple[str, tuple[str, ...]]] = deque([(net, ())])
        seen = {net}
        while queue:
            here, parts = queue.popleft()
            for owner, other, _ in self._ways[here]:
                if other in seen or abs(self.found.across(here, other)) > limit:
                    continue
                if other in held:
                    return Holder((*parts, owner), other)
                seen.add(other)
                queue.append((other, (*parts, owner)))
        return None


def _fixed(stage: Stage) -> Iterator[str]:
    """Yield the nets that are held whatever the section does."""
    yield from (one.net for one in stage.grounds)
    yield from (one.net for one in stage.rails)
    yield from (one.over for one in stage.rails if one.over)


def beginnings(stage: Stage, state: str) -> tuple[str, ...]:
    """Return the nets where a state comes in: inputs, rails and parts that it sets."""
    settings = next((one.settings for one in stage.states if one.name == state), {})
    nets: list[str] = [one.net for one in stage.inputs]
    for name, told in settings.items():
        part = stage.part(name)
        if part is not None and part.has("temp"):
            nets += part.pins.values()
        elif isinstance(told, Quantity):
            nets.append(stage.net(name) or name)
    return tuple(dict.fromkeys(nets or (one.net for one in stage.rails)))


def in_order(
    devices: Sequence[Device], paths: Paths, begin: Iterable[str]
) -> tuple[Device, ...]:
    """Return the devices as a signal reaches them; those it does not reach come last."""
    queue, told = deque(begin), set(begin)
    found: list[Device] = []
    while queue:
        net = queue.popleft()
        for device in devices:
            if device in found or net not in (device.controls or device.carries):
                continue
            found.append(device)
            queue += _fresh(device.carries, told, paths)
        queue += _fresh(paths.beside(net), told, paths)
    return (*found, *(one for one in devices if one not in found))


def _fresh(nets: Iterable[str], told: set[str], paths: Paths) -> list[str]:
    fresh = [net for net in nets if net not in told and net not in paths.fixed]
    told.update(fresh)
    return fresh
