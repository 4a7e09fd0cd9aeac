"""A section as arrays: nodes, branches between them, and every number they have.

Structure (which node, which port) and values (ohms, volts, gains) are apart: a
sample of the board's tolerances is the same structure with another value vector.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.exponentials import Exponentials, exponentials
from tracegraph.network.place import Placed, place
from tracegraph.quantity import Quantity
from tracegraph.stage.branch import (
    TERMINALS,
    Bypass,
    Channel,
    Coil,
    Conductor,
    Follower,
    Junction,
    Source,
    Store,
    Transistor,
)
from tracegraph.stage.reading import COLD
from tracegraph.stage.stage import Stage

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

NEVER = 1e6  # volts: the breakdown of a junction that has none here


@dataclass(frozen=True)
class Circuit:
    """A compiled section.

    Attributes:
        nodes: Node index of every net; nets joined by wires share one.
        size: Number of nodes.
        placed: The branches, ordered by class: conductors, junctions, transistors,
            channels, followers, sources, stores, coils, bypasses.
        counts: How many of each class, by class name.
        ends: For each class name, node indices of its terminals, (count, terminals).
        columns: Where in the value vector each parameter of a class lies, by
            `Class.field`.
        values: Typical value of every parameter, SI units.
        low: Least value of every parameter.
        high: Greatest value of every parameter.
        fixed: Numbers without spread (test currents, polarities), by `Class.field`.
    """

    nodes: Mapping[str, int]
    size: int
    placed: tuple[Placed, ...]
    counts: Mapping[str, int]
    ends: Mapping[str, Ints]
    columns: Mapping[str, slice]
    values: Floats
    low: Floats
    high: Floats
    fixed: Mapping[str, Floats]

    @cached_property
    def ports(self) -> Ints:
        """Node pairs (from, to) of all non-linear ports, (ports, 2).

        Junctions have one (anode, cathode); transistors two (base-emitter, then
        base-collector); channels two (gate-source, then drain-source); followers
        three (plus-minus, out-low, out-high); bypasses one. All of a class's first
        ports come before its second ones. PNP and P types are turned round, so that a
        port is positive where its device conducts.
        """
        junction, channel = self.ends["Junction"], self.ends["Channel"]
        bce, follower = self.ends["Transistor"], self.ends["Follower"]
        turned = [
            (bce[:, [0, 2]], self.fixed["Transistor.polarity"]),
            (bce[:, [0, 1]], self.fixed["Transistor.polarity"]),
            (channel[:, [0, 2]], self.fixed["Channel.polarity"]),
            (channel[:, [1, 2]], self.fixed["Channel.polarity"]),
        ]
        return np.concatenate(
            [
                junction,
                *(
                    np.where(sign[:, None] > 0, pair, pair[:, ::-1])
                    for pair, sign in turned
                ),
                follower[:, [3, 4]],
                follower[:, [0, 1]],
                follower[:, [0, 2]],
                self.ends["Bypass"],
            ]
        )

    def of(self, kind: type) -> tuple[Placed, ...]:
        """Return the branches of a class, in the order of its tables."""
        return tuple(one for one in self.placed if isinstance(one.branch, kind))

    def by_class(self) -> Iterator[tuple[Placed, str, int]]:
        """Yield every branch with its class and its row in the tables of that class."""
        row: Counter[str] = Counter()
        for placed in self.placed:
            name = type(placed.branch).__name__
            yield placed, name, row[name]
            row[name] += 1

    @cached_property
    def exponentials(self) -> Exponentials:
        """Where the numbers of all junctions lie, those of transistors among them."""
        return exponentials(self.columns, self.fixed)

    @cached_property
    def port_cuts(self) -> tuple[slice, ...]:
        """Where the ports of each class lie, in the order that `ports` tells."""
        sizes = (
            self.counts["Junction"],
            *[self.counts["Transistor"]] * 2,
            *[self.counts["Channel"]] * 2,
            *[self.counts["Follower"]] * 3,
            self.counts["Bypass"],
        )
        return tuple(slice(*cut) for cut in pairwise(accumulate(sizes, initial=0)))

    def column(self, name: str, values: Floats | None = None) -> Floats:
        """Return one parameter of every branch of a class, `Class.field`.

        Args:
            name: Such as `Conductor.ohms`.
            values: Value vectors, (..., parameters); the typical ones if left out.
        """
        return (self.values if values is None else values)[..., self.columns[name]]

    def node(self, net: str) -> int | None:
        """Return the node of a net, or None if the circuit has no such net."""
        return self.nodes.get(net)


FIELDS: Mapping[type, tuple[str, ...]] = MappingProxyType(
    {
        Conductor: ("ohms",),
        Junction: ("drop", "slope", "leak", "breakdown"),
        Transistor: ("drop", "slope", "gain", "reverse_gain", "leak", "breakdown"),
        Channel: ("threshold", "on_ohms"),
        Follower: ("threshold", "ohms", "transfer"),
        Source: ("volts", "ohms"),
        Store: ("farads",),
        Coil: ("henries",),
        Bypass: ("siemens",),
    }
)


def compile_stage(stage: Stage, power: str = COLD) -> Circuit:
    """Return the circuit of a section, cold or in a powered state.

    Raises:
        UnknownValueError: A branch has no typical value; unknowns are for the meter
            layer to try out, not for the network to guess.
    """
    return compile_placed(place(stage, power), stage.nets)


class UnknownValueError(ValueError):
    """A branch without a typical value was handed to the network."""


def compile_placed(placed: Iterable[Placed], nets: Iterable[str]) -> Circuit:
    """Return the circuit of branches between nets."""
    branches = tuple(placed)
    wires = [one for one in branches if _is_wire(one)]
    rest = [one for one in branches if not _is_wire(one)]
    nodes, size = _number(nets, branches, wires)
    groups = {
        kind: [one for one in rest if type(one.branch) is kind] for kind in FIELDS
    }
    values, low, high, columns = _values(groups)
    return Circuit(
        nodes=MappingProxyType(nodes),
        size=size,
        placed=tuple(one for group in groups.values() for one in group),
        counts=MappingProxyType({kind.__name__: len(g) for kind, g in groups.items()}),
        ends=MappingProxyType(
            {
                kind.__name__: np.array(
                    [[nodes[net] for net in one.nets] for one in group], np.intp
                ).reshape(len(group), TERMINALS[kind])
                for kind, group in groups.items()
            }
        ),
        columns=MappingProxyType(columns),
        values=values,
        low=low,
        high=high,
        fixed=MappingProxyType(_fixed(groups)),
    )


def _is_wire(one: Placed) -> bool:
    return isinstance(one.branch, Conductor) and one.branch.ohms.high == 0.0


def _number(
    nets: Iterable[str], branches: Sequence[Placed], wires: Sequence[Placed]
) -> tuple[dict[str, int], int]:
    """Return node numbers, nets joined by wires sharing one (disjoint sets)."""
    parent = {net: net for net in nets}
    for one in branches:
        for net in one.nets:
            parent.setdefault(net, net)

    def root(net: str) -> str:
        while parent[net] != net:
            parent[net] = parent[parent[net]]
            net = parent[net]
        return net

    for wire in wires:
        parent[root(wire.nets[1])] = root(wire.nets[0])
    numbers: dict[str, int] = {}
    nodes = {net: numbers.setdefault(root(net), len(numbers)) for net in parent}
    return nodes, len(numbers)


def _values(
    groups: Mapping[type, Sequence[Placed]],
) -> tuple[Floats, Floats, Floats, dict[str, slice]]:
    """Return typical, low and high of every parameter, and where each lies."""
    columns: dict[str, slice] = {}
    rows: list[tuple[float, float, float]] = []
    for kind, group in groups.items():
        for field in FIELDS[kind]:
            start = len(rows)
            rows += [_limits(one, field) for one in group]
            columns[f"{kind.__name__}.{field}"] = slice(start, len(rows))
    table = np.array(rows, float).reshape(-1, 3)
    return table[:, 0].copy(), table[:, 1].copy(), table[:, 2].copy(), columns


def _limits(one: Placed, field: str) -> tuple[float, float, float]:
    """Return typical, low and high of a branch's parameter."""
    quantity: Quantity | None = getattr(one.branch, field)
    if quantity is None:
        return (NEVER, NEVER, NEVER) if field == "breakdown" else (0.0, 0.0, 0.0)
    if quantity.typical is None:
        raise UnknownValueError(f"{one.owner}: no value to compute with")
    return quantity.typical, quantity.low, quantity.high


def _fixed(groups: Mapping[type, Sequence[Placed]]) -> dict[str, Floats]:
    """Return the numbers without spread, one array a field of a class."""
    return {
        f"{kind.__name__}.{field}": np.array(
            [read(one.branch) for one in groups[kind]], float
        )
        for (kind, field), read in _FIXED.items()
    }


def _at(field: str, default: float) -> Callable[[Any], float]:
    """Return a reader of a quantity's test condition, with a default."""

    def read(branch: Any) -> float:
        at = getattr(getattr(branch, field), "at", None)
        return default if at is None else float(at)

    return read


_FIXED: Mapping[tuple[type, str], Callable[[Any], float]] = MappingProxyType(
    {
        (Junction, "drop.at"): _at("drop", 1e-3),
        (Junction, "breakdown.at"): _at("breakdown", 5e-3),
        (Junction, "breakdown_slope"): lambda b: b.breakdown_slope,
        (Transistor, "drop.at"): _at("drop", 1e-3),
        (Transistor, "breakdown.at"): _at("breakdown", 1e-3),
        (Transistor, "polarity"): lambda b: b.polarity,
        (Channel, "on_ohms.at"): _at("on_ohms", 10.0),
        (Channel, "polarity"): lambda b: b.polarity,
        (Follower, "gain"): lambda b: b.gain,
        (Follower, "dropout"): lambda b: b.dropout,
        (Follower, "down"): lambda b: b.pulls in {"both", "down"},
        (Follower, "up"): lambda b: b.pulls in {"both", "up"},
        (Follower, "oneway"): lambda b: b.pulls != "both" and b.dropout > 0,
        (Follower, "coupled"): lambda b: b.transfer is not None,
        (Follower, "control"): lambda b: b.control.typical if b.control else 1.0,
        (Follower, "control.at"): _at("control", 1e-3),
        (Store, "series_ohms"): lambda b: b.series_ohms,
        (Store, "full_farads"): lambda b: b.full_farads,
        (Store, "at_volts"): lambda b: b.at_volts,
    }
)
