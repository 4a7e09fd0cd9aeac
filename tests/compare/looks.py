"""What can be seen of a section, whatever its nets are called: without our matching."""

import operator
from collections import Counter
from collections.abc import Iterable

import networkx as nx

from tracegraph.compare.board import board_of
from tracegraph.compare.likeness import alike
from tracegraph.quantity import Quantity
from tracegraph.stage.stage import Stage


def anchored(stage: Stage) -> list[str]:
    """Return the nets that are declared."""
    return [
        *(one.net for one in stage.grounds),
        *(one.net for one in stage.rails),
        *(one.net for one in stage.inputs),
    ]


def seen(stage: Stage, known: Iterable[str] = ()) -> object:
    """Return what a comparison can see of a section; parts not `known` have no name."""
    board = board_of(stage)
    known = set(known)
    groups: dict[str, Counter[object]] = {}
    parts: Counter[object] = Counter()
    for piece in board.pieces:
        roles, part = alike(piece.part), piece.part
        name = part.ref if not known or part.ref in known else "extra"
        values = tuple(
            sorted((s, _rounded(q)) for s, q in part.given.items() if " " not in s)
        )
        parts[name, part.kind.word, part.variant, values] += 1
        for pin, net in piece.pins.items():
            groups.setdefault(net, Counter())[name, roles[pin]] += 1
    for net in anchored(stage):
        groups.setdefault(board.joined[net], Counter())["anchor", net] += 1
    together = Counter(frozenset(pins.items()) for pins in groups.values() if pins)
    return frozenset(parts.items()), frozenset(together.items())


def _rounded(quantity: Quantity) -> str:
    return "unknown" if quantity.typical is None else f"{quantity.typical:.3g}"


def same_board(one: Stage, other: Stage) -> bool:
    """Return whether two sections are one board under other names, by networkx."""
    return nx.is_isomorphic(
        graph_of(one),
        graph_of(other),
        node_match=operator.eq,
        edge_match=lambda a, b: (
            Counter(map(str, a.values())) == Counter(map(str, b.values()))
        ),
    )


def graph_of(stage: Stage) -> "nx.MultiGraph[object]":
    """Return parts and nets as nodes that show what they are, pins as edges."""
    board = board_of(stage)
    graph: nx.MultiGraph[object] = nx.MultiGraph()
    for piece in board.pieces:
        part, roles = piece.part, alike(piece.part)
        values = tuple(
            sorted((s, _rounded(q)) for s, q in part.given.items() if " " not in s)
        )
        graph.add_node(("part", part.ref), is_a=(part.kind.word, part.variant, values))
        for pin, net in piece.pins.items():
            graph.add_node(net, is_a=None)
            graph.add_edge(("part", part.ref), net, role=roles[pin])
    for number, net in enumerate(anchored(stage)):
        graph.add_node(("anchor", number), is_a=number)
        graph.add_node(board.joined[net], is_a=None)
        graph.add_edge(("anchor", number), board.joined[net], role="anchor")
    return graph
