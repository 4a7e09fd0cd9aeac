"""What flows in every branch of a solved section."""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from tracegraph.network.circuit import FIELDS, Circuit, Floats
from tracegraph.network.device import law
from tracegraph.network.system import lines


def currents(circuit: Circuit, nodes: Floats, values: Floats | None = None) -> Floats:
    """Return the largest terminal current of every branch, (items, branches).

    Args:
        circuit: The section.
        nodes: Node voltages, (items, nodes).
        values: Parameters, one vector or one an item; else the typical.

    Returns:
        Amperes, in the order of `circuit.placed`; for branches of two terminals
        positive from the first to the second, else a magnitude.
    """
    legs = terminal_currents(circuit, nodes, values)
    return np.concatenate(
        [
            legs[name][:, :, 0]
            if legs[name].shape[2] == 2
            else np.abs(legs[name]).max(axis=2)
            for name in (kind.__name__ for kind in FIELDS)
        ],
        axis=1,
    )


def terminal_currents(
    circuit: Circuit, nodes: Floats, values: Floats | None = None
) -> Mapping[str, Floats]:
    """Return the current into every terminal, by class name, (items, count, terminals).

    At rest no current flows in stores; a coil's flows in the conductor beside it.
    """
    values = circuit.values if values is None else values
    straight = _straight(circuit, nodes, values)
    ports = circuit.ports
    across = nodes[:, ports[:, 0]] - nodes[:, ports[:, 1]]
    counts = circuit.counts
    j, t = counts["Junction"], counts["Transistor"]
    c, f = counts["Channel"], counts["Follower"]
    edges = np.cumsum([j, t, t, c, c, f, f, f])
    amps = np.split(law(circuit, values, across).amps, edges, axis=1)
    npn = circuit.fixed["Transistor.polarity"]
    n_type = circuit.fixed["Channel.polarity"]
    be, bc = npn * amps[1], npn * amps[2]
    gs, ds = n_type * amps[3], n_type * amps[4]
    control, low, high, past = amps[5:]
    return MappingProxyType(
        {
            "Conductor": _through(straight[:, : counts["Conductor"]]),
            "Junction": _through(amps[0]),
            "Transistor": np.stack([be + bc, -bc, -be], axis=2),
            "Channel": np.stack([gs, ds, -gs - ds], axis=2),
            "Follower": np.stack([low + high, -low, -high, control, -control], axis=2),
            "Source": _through(straight[:, counts["Conductor"] :]),
            "Store": np.zeros((len(nodes), counts["Store"], 2)),
            "Coil": np.zeros((len(nodes), counts["Coil"], 2)),
            "Bypass": _through(past),
        }
    )


def _straight(circuit: Circuit, nodes: Floats, values: Floats) -> Floats:
    """Return the currents of conductors, then of sources."""
    ends = np.concatenate([circuit.ends["Conductor"], circuit.ends["Source"]])
    siemens, emf = lines(circuit, values)
    return np.asarray(siemens * (nodes[:, ends[:, 0]] - nodes[:, ends[:, 1]] - emf))


def _through(amps: Floats) -> Floats:
    return np.stack([amps, -amps], axis=2)
