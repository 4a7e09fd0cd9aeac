"""What a voltmeter shows of every variant of a live family: all as one batch.

Each variant is solved once without a meter, from where the unaltered section stands;
what the meter then shows of it follows for any number of readings.
"""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from tracegraph.meter.live.standing import LOCKS, briefly
from tracegraph.meter.profile import Profile
from tracegraph.meter.tried import Shown
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import powered
from tracegraph.network.detours import settled
from tracegraph.network.loaded import loaded
from tracegraph.network.lockout import held_low, starved
from tracegraph.network.newton import newton
from tracegraph.stage.reading import Mode


class Levels(NamedTuple):
    """Variants as they stand in a state, without a meter.

    Attributes:
        circuit: Their structure.
        values: Their parameters, outputs locked that have no supply, one vector each.
        nodes: Their node voltages, (variants, nodes); NaN where none were found.
    """

    circuit: Circuit
    values: Floats
    nodes: Floats


def levels_of(
    circuit: Circuit, values: Floats, begin: Floats, *, patient: bool = True
) -> Levels:
    """Return how variants stand.

    Args:
        circuit: Their structure, in a powered state.
        values: Their parameters, (variants, parameters).
        begin: Node voltages of the section unaltered, (nodes,).
        patient: Whether those that are not found at once are let come to rest slowly.
    """
    start = np.repeat(begin[None, :], len(values), axis=0)
    nodes, plain = _solved(circuit, values, start, patient=patient), values
    for _ in range(LOCKS):
        held = held_low(circuit, plain, starved(circuit, nodes))
        changed = (held != values).any(axis=1)
        if not changed.any():
            break
        rows = np.flatnonzero(changed)
        values = held
        near = np.nan_to_num(nodes[rows])
        nodes[rows] = _solved(circuit, values[rows], near, patient=patient)
    return Levels(circuit, values, nodes)


def begin_of(circuit: Circuit, known: Mapping[str, float]) -> Floats:
    """Return node voltages to begin from: those known by net, a leg's as its net's.

    Args:
        circuit: The structure of a family.
        known: Volts of the nets of the section unaltered; of a lifted leg, too.
    """
    found = np.zeros(circuit.size)
    for name, node in circuit.nodes.items():
        if name in known:
            found[node] = known[name]
    return found


def volts_of(levels: Levels, pairs: Ints, profile: Profile) -> Shown:
    """Return what a voltmeter shows of variants, (variants, readings).

    Args:
        levels: The variants as they stand.
        pairs: Nodes under red and black, (readings, 2).
        profile: The meter.
    """
    scales = profile.scales(Mode.VOLTS)
    shown = loaded(levels.circuit, levels.values, levels.nodes, pairs, scales[0].drive)
    full = np.array([scale.full for scale in scales])
    with np.errstate(invalid="ignore"):
        scale = (np.abs(shown)[..., None] > full).sum(axis=-1)
    return Shown(shown, np.minimum(scale, len(scales) - 1).astype(np.intp))


def _solved(
    circuit: Circuit, values: Floats, start: Floats, *, patient: bool
) -> Floats:
    """Return node voltages, by slower ways for the variants that one step loses."""
    nodes, _, good = powered(circuit, values, start, way=briefly)
    ways = [(np.zeros_like(start), briefly), (start, newton), (start, settled)]
    for begin, way in ways if patient else ways[:2]:
        left = np.flatnonzero(~good)
        if left.size:
            again, _, found = powered(circuit, values[left], begin[left], way=way)
            nodes[left], good[left] = again, found
    return nodes
