"""From the chunks of a match to the steps of an explanation: break, join, move.

See `tally` for what home and host are, and why the choice made here is a least one.
"""

from collections.abc import Mapping
from itertools import chain
from typing import NamedTuple

from tracegraph.compare.board import LEAK
from tracegraph.compare.match import Fit, Match
from tracegraph.compare.tally import Chunk, loose_nets, paired
from tracegraph.stage.change import Change, Cut, Split, Tie
from tracegraph.stage.part import Pin


class Laid(NamedTuple):
    """A pin of the reference with the traced pin laid on it."""

    old: Pin
    new: Pin
    net: str  # of the reference, before wires joined it


class Step(NamedTuple):
    """One step over nets.

    Attributes:
        act: `broken`, `bridged` or `moved`.
        chunk: The nets it leads between, reference and traced.
        pins: The pins that go.
        host: The reference's net that these pins come to, or empty.
        changes: It in the reference's names.
    """

    act: str
    chunk: Chunk
    pins: tuple[Laid, ...]
    host: str
    changes: tuple[Change, ...]


class NetSteps:
    """The steps over nets that explain a match."""

    def __init__(self, match: Match) -> None:
        """Find home and host of every net that is not simply one net each side."""
        self.match = match
        self.pins = _chunks(match)
        self.weights = match.tally.mixed()
        loose = loose_nets(self.weights)
        both = {(a, b) for b, a in paired(self.weights, loose).items()}
        self.home = self._chosen(0, both)
        self.host = self._chosen(1, both)

    def _chosen(self, side: int, both: set[Chunk]) -> dict[str, Chunk]:
        """Return home (0) or host (1) of every net: the heaviest, or as was paired."""
        found: dict[str, Chunk] = {}
        for chunk in self.weights:
            net = chunk[side]
            if net not in found or self._rank(chunk, both) > self._rank(
                found[net], both
            ):
                found[net] = chunk
        return found

    def _rank(self, chunk: Chunk, both: set[Chunk]) -> tuple[int, bool]:
        return self.weights[chunk], chunk in both

    def pairs(self) -> list[Chunk]:
        """Return chunks of two pins that are moved, or broken off and joined, alike."""
        return [
            chunk
            for chunk, weight in self.weights.items()
            if weight == 2 and self._far(chunk) and len(self.pins.get(chunk, ())) == 2
        ]

    def _far(self, chunk: Chunk) -> bool:
        return self.home[chunk[0]] != chunk != self.host[chunk[1]]

    def steps(self, together: frozenset[Chunk] = frozenset()) -> list[Step]:
        """Return the steps, as they can be made: breaks, then moves, then joins.

        Args:
            together: Pairs of pins that are broken off and joined, not moved.
        """
        pairs = set(self.pairs()) - together
        found = [self._steps(chunk, apart=chunk in pairs) for chunk in self.weights]
        order = ("broken", "moved", "bridged")
        return sorted(
            chain.from_iterable(found), key=lambda step: order.index(step.act)
        )

    def _steps(self, chunk: Chunk, *, apart: bool) -> list[Step]:
        pins = self.pins.get(chunk, ())
        if self._far(chunk) and (apart or self.weights[chunk] == 1):
            return [self._moved(chunk, pin) for pin in pins]
        found = []
        if self.home[chunk[0]] != chunk:
            changes = self._split(chunk, pins)
            found.append(Step("broken", chunk, pins, "", changes))
        if self.host[chunk[1]] != chunk:
            host = self.host[chunk[1]]
            a, b = self.in_order(chunk, host)
            tie = Tie(self.handle(a), self.handle(b))
            found.append(Step("bridged", chunk, pins, host[0], (tie,)))
        return found

    def in_order(self, chunk: Chunk, host: Chunk) -> tuple[Chunk, Chunk]:
        """Return two chunks that are joined, in the order of the reference's nets."""
        nets = list(self.match.ground.reference.stage.nets)
        away = self.home[chunk[0]] != chunk
        turned = not away and nets.index(chunk[0]) > nets.index(host[0])
        return (host, chunk) if turned else (chunk, host)

    def _moved(self, chunk: Chunk, pin: Laid) -> Step:
        host = self.host[chunk[1]]
        changes = (Cut(pin.old), Tie(str(pin.old), self.handle(host)))
        return Step("moved", chunk, (pin,), host[0], changes)

    def _split(self, chunk: Chunk, pins: tuple[Laid, ...]) -> tuple[Change, ...]:
        """Return the changes that part pins from their net, and leave them together."""
        nets = list(dict.fromkeys(pin.net for pin in pins))
        groups = [[pin.old for pin in pins if pin.net == net] for net in nets]
        splits = [
            Split(self._of_net(net, group[0], chunk), tuple(group))
            for net, group in zip(nets, groups, strict=True)
        ]
        ties = [Tie(str(groups[0][0]), str(group[0])) for group in groups[1:]]
        return (*splits, *ties)

    def _of_net(self, net: str, pin: Pin, chunk: Chunk) -> str:
        """Return a name of a pin's net that holds while other pins leave it."""
        if not self._called_by_pin(net):
            return net
        home = self.pins.get(self.home[chunk[0]], ())
        return next((str(one.old) for one in home if one.net == net), str(pin))

    def _called_by_pin(self, net: str) -> bool:
        return self.match.ground.reference.stage.pin(net) is not None

    def handle(self, chunk: Chunk) -> str:
        """Return a name of what a chunk's pins are on, once all breaks are made."""
        pins = self.pins.get(chunk, ())
        away = chunk in self.weights and self.home[chunk[0]] != chunk
        if pins and (away or self._called_by_pin(chunk[0])):
            return str(pins[0].old)
        return chunk[0]

    def net_there(self, net: str) -> str | None:
        """Return the reference's name of a traced net, or None if it has none."""
        column = self.match.tally.columns.get(net)
        if not column:
            return None
        return self.handle(self.host.get(net, (next(iter(column)), net)))


def _chunks(match: Match) -> Mapping[Chunk, tuple[Laid, ...]]:
    found: dict[Chunk, list[Laid]] = {}
    for r in sorted(match.fits):
        fit = match.fits[r]
        if match.ground.reference.pieces[r].part.kind is LEAK:
            continue  # a bridge has no pins that a change could name
        for (old, new), chunk in zip(fit.way.pins, fit.way.nets, strict=True):
            found.setdefault(chunk, []).append(_laid(match, r, fit, (old, new)))
    return {chunk: tuple(pins) for chunk, pins in found.items()}


def _laid(match: Match, r: int, fit: Fit, pins: tuple[str, str]) -> Laid:
    old = match.ground.reference.pieces[r].part
    new = match.ground.traced.pieces[fit.traced].part
    return Laid(Pin(old.ref, pins[0]), Pin(new.ref, pins[1]), old.pins[pins[0]])
