"""The fast way to a section with changes: only what they touch is laid out anew.

Held equal to `compile_stage(apply(stage, changes))`; the readings begin from those of
the section before the changes, where most of them stay.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Ints, compile_placed
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.place import Placed, place_around, place_part
from tracegraph.network.ports import solve_prepared
from tracegraph.network.skeleton import Skeleton, skeleton
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change
from tracegraph.stage.part import Part
from tracegraph.stage.reading import COLD
from tracegraph.stage.stage import Stage

PORTS: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {"Junction": (0,), "Transistor": (0, 1), "Channel": (0, 1), "Follower": (0, 1, 2)}
)
"""Ports of a branch, in the order in which a circuit has those of a class."""

Key = tuple[str, str, int, int]
Pair = tuple[str, str]


class Laid(NamedTuple):
    """A part and its branches."""

    part: Part
    placed: tuple[Placed, ...]


@dataclass(frozen=True)
class Compiled:
    """A section that is ready to be changed.

    Attributes:
        stage: The section.
        power: `cold`, or the state whose supplies stand behind it.
        laid: Its parts with their branches, by designator.
        circuit: The whole as arrays.
    """

    stage: Stage
    power: str
    laid: Mapping[str, Laid]
    circuit: Circuit

    def node(self, place: str) -> int:
        """Return the node of a net or pin.

        Raises:
            KeyError: The section has no such net or pin.
        """
        return self.circuit.nodes[self.stage.net(place) or place]


def compiled(stage: Stage, power: str = COLD, nets: Iterable[str] = ()) -> Compiled:
    """Return a section, cold or in a powered state, ready to be changed.

    Args:
        stage: The section.
        power: `cold`, or the state whose supplies stand behind it.
        nets: Nets that are there besides, whatever is left on them.

    Raises:
        UnknownValueError: A branch has no typical value.
    """
    return _compiled(stage, power, MappingProxyType({}), nets)


def altered(
    base: Compiled, changes: Iterable[Change], *, keep_names: bool = False
) -> Compiled:
    """Return the section with changes made one after the other.

    Args:
        base: The section before.
        changes: The changes.
        keep_names: Whether every net keeps its name, whatever pins have left it.

    Raises:
        ChangeError: A change speaks of something that the section does not have.
        UnknownValueError: A change leaves a branch without a typical value.
    """
    after = apply(base.stage, changes, keep_names=keep_names)
    kept = base.circuit.nodes if keep_names else ()
    return _compiled(after, base.power, base.laid, kept)


def _compiled(
    stage: Stage, power: str, known: Mapping[str, Laid], nets: Iterable[str]
) -> Compiled:
    laid = {part.ref: _laid(part, power, known) for part in stage.parts}
    placed = [one for each in laid.values() for one in each.placed]
    placed += place_around(stage, power)
    circuit = compile_placed(placed, (*stage.nets, *nets))
    return Compiled(stage, power, MappingProxyType(laid), circuit)


def _laid(part: Part, power: str, known: Mapping[str, Laid]) -> Laid:
    """Return a part's branches: those known, if nothing about the part has changed."""
    before = known.get(part.ref)
    if before and before.part is part:
        return before
    return Laid(part, tuple(place_part(part, cold=power == COLD)))


def altered_readings(
    base: Compiled,
    alterations: Iterable[Sequence[Change]],
    pairs: Sequence[Pair],
    drive: Drive,
) -> Iterator[Solution]:
    """Yield what the meter finds under each alteration, a row a pair.

    Args:
        base: The section before.
        alterations: Changes that are made together, one after the other.
        pairs: Red and black, by net or pin.
        drive: The meter.
    """
    before = solve_prepared(skeleton(base.circuit), _nodes(base, pairs), drive)
    keys = port_keys(base.circuit)
    for changes in alterations:
        after = altered(base, changes)
        prepared = skeleton(after.circuit)
        near = _carried(before, keys, prepared)
        yield solve_prepared(prepared, _nodes(after, pairs), drive, near)


def _nodes(of: Compiled, pairs: Sequence[Pair]) -> Ints:
    nodes = [[of.node(red), of.node(black)] for red, black in pairs]
    return np.array(nodes, np.intp).reshape(-1, 2)


def _carried(before: Solution, keys: Sequence[Key], prepared: Skeleton) -> Solution:
    """Return readings with their port voltages given to another circuit's ports."""
    own = {key: port for port, key in enumerate(keys)}
    wanted = port_keys(prepared.circuit)
    source = np.array([own.get(key, len(keys)) for key in wanted], np.intp)
    still = np.zeros((len(before.ports), 1))
    return before._replace(
        ports=np.concatenate([before.ports, still], axis=1)[:, source]
    )


def port_keys(circuit: Circuit) -> list[Key]:
    """Return what every port is: owner, class, which of the owner's, and which port."""
    keys: list[Key] = []
    for kind, ports in PORTS.items():
        seen: Counter[str] = Counter()
        ranked: list[tuple[str, int]] = []
        for one in circuit.placed:
            if type(one.branch).__name__ == kind:
                ranked.append((one.owner, seen[one.owner]))
                seen[one.owner] += 1
        keys += [(owner, kind, rank, port) for port in ports for owner, rank in ranked]
    return keys
