"""Resistors between nets: what lies between two of them, and which parts carry it."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from math import inf
from typing import NamedTuple

from tracegraph.network.place import place
from tracegraph.quantity import Quantity
from tracegraph.stage.branch import Conductor
from tracegraph.stage.stage import Stage

WIRE = 1e-6  # ohms of what is written as a wire: none of its resistances matter here

Ends = frozenset[str]
Mesh = dict[Ends, float]
Ohms = Callable[[Quantity], float]


class Path(NamedTuple):
    """A resistance between two nets.

    Attributes:
        owner: Designator of its part, or the line of the file (`rest BUS-HOT`).
        a: One net.
        b: The other.
        ohms: Its resistance.
        rest: Whether it is what the rest of the board shows.
    """

    owner: str
    a: str
    b: str
    ohms: Quantity
    rest: bool = False


def paths_of(stage: Stage) -> tuple[Path, ...]:
    """Return every resistance of a section, windings, contacts and `rest` among them."""
    return tuple(
        Path(one.owner, *_two(one.nets), one.branch.ohms, one.owner.startswith("rest "))
        for one in place(stage)
        if isinstance(one.branch, Conductor) and one.nets[0] != one.nets[1]
    )


def _two(nets: tuple[str, ...]) -> tuple[str, str]:
    return nets[0], nets[1]


def typically(ohms: Quantity) -> float:
    """Return the typical value; not known is open."""
    return inf if ohms.typical is None else ohms.typical


def at_most(ohms: Quantity) -> float:
    """Return the greatest value that a healthy part has; not known may be open."""
    return inf if ohms.typical is None else ohms.high


def at_least(ohms: Quantity) -> float:
    """Return the least value that a healthy part has."""
    return ohms.low


def between(paths: Iterable[Path], a: str, b: str, ohms: Ohms = typically) -> float:
    """Return the resistance between two nets; infinite where nothing leads across."""
    siemens = reduced(mesh(paths, ohms), (a, b)).get(frozenset((a, b)), 0.0)
    return 1 / siemens if siemens else inf


def mesh(paths: Iterable[Path], ohms: Ohms = typically) -> Mesh:
    """Return the conductance between every two nets that something joins."""
    found: Mesh = {}
    for path in paths:
        value = ohms(path.ohms)
        if value < inf:
            ends = frozenset((path.a, path.b))
            found[ends] = found.get(ends, 0.0) + 1 / max(value, WIRE)
    return found


def reduced(whole: Mesh, keep: Collection[str]) -> Mesh:
    """Return the same network as seen from a few nets: star to mesh, net by net.

    A net with the conductances g to its neighbours is the same, seen from these, as
    g_i g_j / sum(g) between every two of them (A. Rosen, Journal IEE 62, 1924; from
    memory).
    """
    joined: dict[str, dict[str, float]] = {}
    for ends, siemens in whole.items():
        a, b = ends
        joined.setdefault(a, {})[b] = siemens
        joined.setdefault(b, {})[a] = siemens
    for net in [one for one in joined if one not in keep]:
        _fold(joined, net)
    return {
        frozenset((a, b)): siemens
        for a, others in joined.items()
        for b, siemens in others.items()
    }


def _fold(joined: dict[str, dict[str, float]], net: str) -> None:
    """Take one net out of a network that stays the same for all others."""
    star = joined.pop(net)
    total = sum(star.values())
    for a, to_a in star.items():
        del joined[a][net]
        for b, to_b in star.items():
            if a != b:
                joined[a][b] = joined[a].get(b, 0.0) + to_a * to_b / total


def level(
    paths: Iterable[Path], net: str, known: Mapping[str, float], load: float = inf
) -> float | None:
    """Return the volts of a net between nets whose volts are known, or None.

    Args:
        paths: The resistances.
        net: The net asked for.
        known: Volts of nets that are held, a meter's black lead at 0 V among them.
        load: Ohms of the meter from the net to 0 V.
    """
    seen = reduced(mesh(paths), (net, *known))
    shares = {
        other: seen.get(frozenset((net, other)), 0.0) for other in known if other != net
    }
    if not any(shares.values()):
        return None
    total = sum(shares.values()) + 1 / load
    return sum(siemens * known[other] for other, siemens in shares.items()) / total


def carrying(paths: Sequence[Path], a: str, b: str) -> tuple[Path, ...]:
    """Return the resistances that lie on some way from one net to the other.

    These are the edges that share a block (a part of a graph that no single node
    parts) with an edge laid between the two.
    """
    import networkx as nx

    graph: nx.Graph[str] = nx.Graph()
    graph.add_edges_from((path.a, path.b) for path in paths)
    graph.add_edge(a, b)
    for block in nx.biconnected_component_edges(graph):
        edges = {frozenset(edge) for edge in block}
        if frozenset((a, b)) in edges:
            return tuple(one for one in paths if frozenset((one.a, one.b)) in edges)
    return ()
