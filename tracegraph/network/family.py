"""Many alterations of one section as one structure, so that all are one batch.

What an alteration changes stands in the structure as a bypass: a bridge, leak or missed
path between two nets as one that usually conducts nothing, a resistor that drifts or
opens as one that usually conducts what the resistor does, a pin that may be lifted or
sit elsewhere as joints to its own net and to others. A variant is a value vector.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from tracegraph.network.altered import Compiled
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_placed
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.place import Placed
from tracegraph.network.ports import solve_prepared
from tracegraph.network.skeleton import Skeleton, skeleton
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.branch import Bypass, Conductor, Source, terminals

MOST_SIEMENS = 10.0  # a dead short: a tenth of an ohm, as shorted parts read
JOINT = 50.0  # siemens of a good solder joint: 20 mohm, lost in the leads
LEAST_OHMS = 1e-12

NOTHING, SOLDERED = exact(0.0, "S"), exact(JOINT, "S")


class Between(NamedTuple):
    """A path between two nets, of any of these ohms; 0 is a short, infinity no path."""

    a: str
    b: str
    ohms: tuple[float, ...]


class Instead(NamedTuple):
    """A part of one conductor with any of these ohms instead of its own."""

    part: str
    ohms: tuple[float, ...]


class Repin(NamedTuple):
    """A part some of whose pins are lifted, or sit on other nets.

    Attributes:
        part: Its designator.
        pins: For each such pin its net, or an empty word where it is lifted.
    """

    part: str
    pins: tuple[tuple[str, str], ...]


class Dead(NamedTuple):
    """A rail that is not there when the section is powered: nothing feeds its net."""

    rail: str


Way = Between | Instead | Repin | Dead


def variants_of(way: Way) -> int:
    """Return how many variants a way has."""
    return 1 if isinstance(way, Repin | Dead) else len(way.ohms)


@dataclass(frozen=True)
class Family:
    """Variants of one structure.

    Attributes:
        circuit: The structure; its own values are those of the section unaltered.
        nets: Node of every net of the section.
        values: Parameters of the variants, (variants, parameters).
    """

    circuit: Circuit
    nets: Mapping[str, int]
    values: Floats

    @cached_property
    def prepared(self) -> Skeleton:
        """The structure, ready for many readings."""
        return skeleton(self.circuit)

    def nodes(self, pairs: Sequence[tuple[str, str]]) -> Ints:
        """Return the nodes of pairs of nets, (pairs, 2)."""
        found = [(self.nets[red], self.nets[black]) for red, black in pairs]
        return np.array(found, np.intp).reshape(-1, 2)

    def solve(
        self, variants: Ints, pairs: Ints, drive: Drive, near: Solution | None = None
    ) -> Solution:
        """Return what the meter finds, one row an item.

        Args:
            variants: Which variant each item is of, (items,).
            pairs: Nodes under red and black, (items, 2).
            drive: The meter.
            near: The same readings of a variant that is much the same.
        """
        values = self.values[variants]
        return solve_prepared(self.prepared, pairs, drive, near, values)


def alone(section: Compiled) -> Family:
    """Return a section as the only variant of its structure."""
    circuit = section.circuit
    return Family(circuit, circuit.nodes, circuit.values[None])


def family(section: Compiled, ways: Sequence[Way]) -> Family:
    """Return a section with ways to be tried, a variant for each of their values.

    Args:
        section: The section, unaltered.
        ways: What is tried, one at a time, each in the order of its values.

    Raises:
        ValueError: An `Instead` names what is no part of one conductor.
    """
    swapped = {way.part for way in ways if isinstance(way, Instead)}
    lifted = {way.part for way in ways if isinstance(way, Repin)}
    placed = [_on_bench(one, swapped, lifted) for one in section.circuit.placed]
    joints = [one for part in sorted(lifted) for one in _joints(section, part, ways)]
    tried = [
        Placed(f"path {k}", Bypass("a", "b", NOTHING), (way.a, way.b))
        for k, way in enumerate(ways)
        if isinstance(way, Between)
    ]
    every = [*placed, *_wires(section), *joints, *tried]
    circuit = compile_placed(every, section.circuit.nodes)
    return Family(circuit, circuit.nodes, _values(section, circuit, ways))


def _on_bench(one: Placed, swapped: set[str], lifted: set[str]) -> Placed:
    """Return a branch as it is to be varied: as a bypass, or on pins of its own."""
    if one.owner in swapped and isinstance(one.branch, Conductor):
        a, b, ohms = one.branch
        if not ohms.typical:
            raise ValueError(f"{one.owner} has no resistance to be varied")
        siemens = Quantity(1 / ohms.typical, 1 / ohms.high, 1 / ohms.low, "S")
        one = one._replace(branch=Bypass(a, b, siemens))
    if one.owner in lifted:
        own = zip(terminals(one.branch), one.nets, strict=True)
        nets = tuple(
            net if pin[:1] == "*" else _leg(one.owner, pin) for pin, net in own
        )
        return one._replace(nets=nets)
    return one


def _leg(part: str, pin: str) -> str:
    """Return the net of a pin before its joint."""
    return f"{part}!{pin}"


def _joint(part: str, pin: str, net: str) -> str:
    return f"joint {part}.{pin} {net}"


def _joints(section: Compiled, ref: str, ways: Sequence[Way]) -> Iterator[Placed]:
    """Yield the joints of a part's pins: to their nets, and to where they may sit."""
    part = section.laid[ref].part
    for pin, net in part.pins.items():
        yield Placed(
            _joint(ref, pin, net), Bypass("a", "b", SOLDERED), (_leg(ref, pin), net)
        )
    seen: set[tuple[str, str]] = set(part.pins.items())
    for way in ways:
        for pin, net in way.pins if isinstance(way, Repin) and way.part == ref else ():
            if net and (pin, net) not in seen:
                seen.add((pin, net))
                ends = (_leg(ref, pin), net)
                yield Placed(_joint(ref, pin, net), Bypass("a", "b", NOTHING), ends)


def _wires(section: Compiled) -> Iterator[Placed]:
    """Yield wires that join the nets which the section's nodes join already."""
    first: dict[int, str] = {}
    for net, node in section.circuit.nodes.items():
        if node in first:
            wire = Conductor("a", "b", exact(0.0, "ohm"))
            yield Placed("wire", wire, (first[node], net))
        else:
            first[node] = net


def _values(section: Compiled, circuit: Circuit, ways: Sequence[Way]) -> Floats:
    cell = _cells(circuit)
    count = sum(variants_of(way) for way in ways)
    values = np.repeat(circuit.values[None], count, axis=0)
    row = 0
    for k, way in enumerate(ways):
        if isinstance(way, Repin):
            own = section.laid[way.part].part.pins
            for pin, net in way.pins:
                values[row, cell[_joint(way.part, pin, own[pin])]] = 0.0
                if net:
                    values[row, cell[_joint(way.part, pin, net)]] = JOINT
            row += 1
            continue
        if isinstance(way, Dead):
            values[row, source_cell(circuit, way.rail)] = 0.0
            row += 1
            continue
        owner = way.part if isinstance(way, Instead) else f"path {k}"
        for ohms in way.ohms:
            if owner not in cell:
                raise ValueError(f"{owner} has no resistance to be varied")
            values[row, cell[owner]] = min(1 / max(ohms, LEAST_OHMS), MOST_SIEMENS)
            row += 1
    return values


def source_cell(circuit: Circuit, rail: str) -> int:
    """Return where the volts of a rail stand.

    Raises:
        ValueError: Nothing feeds the rail: the section is cold.
    """
    owners = [one.owner for one in circuit.placed if isinstance(one.branch, Source)]
    start: int = circuit.columns["Source.volts"].start
    return start + owners.index(f"rail {rail}")


def _cells(circuit: Circuit) -> dict[str, int]:
    """Return where the conductance of every bypass stands, by owner."""
    start = circuit.columns["Bypass.siemens"].start
    last = circuit.placed[len(circuit.placed) - circuit.counts["Bypass"] :]
    return {one.owner: start + k for k, one in enumerate(last)}
