"""All resistances of a section against one bare inverse, and a reference library."""

from collections.abc import Callable
from functools import partial
from random import Random
from timeit import repeat

import networkx as nx
import numpy as np

from tests.sections import section
from tracegraph.network.circuit import Circuit, compile_placed
from tracegraph.network.linear import islands, laplacian, pinned, resistances

SIZES = (20, 40, 80, 200)


def run() -> None:
    """Print a line a size: the best of many runs of each."""
    print("nets islands | ours: times one bare numpy.linalg.inv | networkx: times ours")
    for nets in SIZES:
        circuit = compile_placed(*section(Random(nets), nets))
        ends = circuit.ends["Conductor"]
        island = np.array(islands(circuit.size, ends))
        siemens = 1 / circuit.column("Conductor.ohms")
        table = pinned(laplacian(circuit.size, ends, siemens), island)
        bare = _best(partial(np.linalg.inv, table))
        ours = _best(partial(resistances, circuit))
        graph = _largest(circuit, island.tolist())
        one = _best(partial(nx.resistance_distance, graph, weight="ohms"), 1)
        print(
            f"{nets:4} {len(set(island.tolist())):7} | {ours / bare:38.2f} | {one / ours:20.0f}",
            flush=True,
        )


def _best(work: Callable[[], object], number: int = 20) -> float:
    return min(repeat(work, number=number, repeat=7)) / number


def _largest(circuit: Circuit, island: list[int]) -> "nx.MultiGraph[int]":
    """Return the largest island: the library takes connected networks only."""
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    ohms = circuit.column("Conductor.ohms").tolist()
    most = max(island, key=island.count)
    for (a, b), value in zip(circuit.ends["Conductor"].tolist(), ohms, strict=True):
        if island[a] == most and a != b:
            graph.add_edge(a, b, ohms=value)
    return graph
