"""Our least cost of plain edits against `networkx.graph_edit_distance`.

The distance is that of Sanfeliu and Fu, "A distance measure between attributed
relational graphs for pattern recognition" (1983); networkx computes it after
Abu-Aisheh and others (2015). A section is a graph of part nodes and net nodes with an
edge a pin. An edge costs half a step to take out and half to put in, so that a moved
pin is one step. A part that goes takes its edges with it: it costs 1 - edges / 2, and
a constant beside that keeps all costs above zero and is taken off again.

networkx 3.6 takes the first node in hand and, where the first graph has no more nodes
than the second and an assignment would rather have that node out, tries no other way
for it: its result may then be too dear. Nodes that cost nothing to take out are added
to the end of the first graph, so that it is always the larger and every way is tried.
"""

from random import Random

import networkx as nx
import pytest

from tracegraph.compare.board import Board, Piece, board_of
from tracegraph.compare.likeness import alike, can_become, own_steps
from tracegraph.compare.match import STEP, Ground, Rules
from tracegraph.compare.matching import least
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read

PLAIN = Rules(turns=False, joins=False, names=False)
NETS = ("COM", "N1", "N2", "N3", "N4")
VALUES = ("1k", "10k", "100k")
FAR = 1000.0
ABOVE = 1.0  # keeps the cost of a part that goes above zero
CASES = 100

Line = tuple[str, str, tuple[str, ...]]  # kind word, value, nets


def _line(random: Random) -> Line:
    word = random.choice(("resistor", "resistor", "capacitor", "diode", "npn", "pnp"))
    value = random.choice(VALUES) if word == "resistor" else ""
    count = 3 if word in {"npn", "pnp"} else 2
    return word, value, tuple(random.sample(NETS, count))


def _altered(random: Random, lines: list[Line]) -> list[Line]:
    """Return the parts with one of them absent, extra, of other kind or value, moved."""
    at = random.randrange(len(lines))
    word, value, nets = lines[at]
    match random.choice(("absent", "extra", "kind", "value", "moved")):
        case "absent":
            return lines[:at] + lines[at + 1 :]
        case "extra":
            return [*lines, _line(random)]
        case "kind":
            others = {"npn": "pnp", "pnp": "npn", "diode": "zener"}
            other = (others.get(word, "fuse"), "", nets)
            return [*lines[:at], other, *lines[at + 1 :]]
        case "value":
            return [*lines[:at], (word, value and "2M2", nets), *lines[at + 1 :]]
        case _:
            moved = list(nets)
            free = [net for net in NETS if net not in nets]
            moved[random.randrange(len(nets))] = random.choice(free)
            return [*lines[:at], (word, value, tuple(moved)), *lines[at + 1 :]]


def _board(lines: list[Line], random: Random) -> Board:
    called = dict(zip(NETS[1:], random.sample(("A", "B", "C", "D"), 4), strict=True))
    text = ["ground COM"]
    for number, (word, value, nets) in enumerate(random.sample(lines, len(lines))):
        names = [called.get(net, net) for net in nets]
        pins = {2: "{} -- {}", 3: "b={} c={} e={}"}[len(names)].format(*names)
        pins = pins.replace("--", "->") if word in {"diode", "zener"} else pins
        text.append(f"X{number} {word} {value} {pins}")
    return board_of(read(from_text("small", "\n".join(text))))


def _graph(board: Board) -> "nx.Graph[object]":
    graph: nx.Graph[object] = nx.Graph()
    graph.add_node("net COM", net="COM")
    for number, piece in enumerate(board.pieces):
        graph.add_node(number, piece=piece)
        roles = alike(piece.part)
        for pin, net in piece.pins.items():
            graph.add_node(f"net {net}", net=net if net == "COM" else "")
            graph.add_edge(number, f"net {net}", role=roles[pin])
    return graph


def _exchanged(one: dict[str, object], other: dict[str, object]) -> float:
    if "none" in one or ("net" in one) != ("net" in other):
        return FAR
    if "net" in one:
        return 0.0 if one["net"] == other["net"] else FAR
    old, new = one["piece"], other["piece"]
    assert isinstance(old, Piece)
    assert isinstance(new, Piece)
    if not can_become(old.part, new.part):
        return FAR
    return own_steps(old.part, new.part) + 2 * ABOVE


def _gone(one: dict[str, object]) -> float:
    if "none" in one or "net" in one:
        return FAR if one.get("net") else 0.0
    piece = one["piece"]
    assert isinstance(piece, Piece)
    return 1 - len(piece.pins) / 2 + ABOVE


def _pin_exchanged(one: dict[str, str], other: dict[str, str]) -> float:
    same = one["role"] == other["role"] or "end" in {one["role"], other["role"]}
    return 0.0 if same else 1.0


def _distance(old: Board, new: Board) -> float:
    graph, other = _graph(old), _graph(new)
    graph.add_nodes_from((f"none {k}" for k in range(len(other) + 1)), none=True)
    found = nx.graph_edit_distance(
        graph,
        other,
        node_subst_cost=_exchanged,
        node_del_cost=_gone,
        node_ins_cost=_gone,
        edge_subst_cost=_pin_exchanged,
        edge_del_cost=lambda _edge: 0.5,
        edge_ins_cost=lambda _edge: 0.5,
    )
    assert found is not None
    return float(found) - ABOVE * (len(old.pieces) + len(new.pieces))


@pytest.mark.parametrize("part", range(4))
def test_least_plain_cost_is_the_graph_edit_distance(part: int) -> None:
    for case in range(part, CASES, 4):
        random = Random(case)
        lines = [_line(random) for _ in range(random.choice((2, 3, 3, 4)))]
        altered = lines
        for _ in range(random.randint(0, 2)):
            altered = _altered(random, altered) if altered else altered
        old, new = _board(lines, random), _board(altered, random)
        matched = least(Ground(old, new, PLAIN))
        assert matched.proven
        assert matched.match.cost() / STEP == _distance(old, new), case


def test_no_cost_is_isomorphism() -> None:
    for case in range(60):
        random = Random(case)
        lines = [_line(random) for _ in range(6)]
        again = lines if case % 2 else _altered(random, lines)
        old, new = _board(lines, random), _board(again, random)
        same = nx.is_isomorphic(
            _graph(old),
            _graph(new),
            node_match=lambda a, b: _exchanged(a, b) in (0.0, 2 * ABOVE),
            edge_match=lambda a, b: _pin_exchanged(a, b) == 0.0,
        )
        free = least(Ground(old, new, Rules(names=False))).match.cost() == 0
        assert free == same, case
