"""Resistors between two nets, against the textbook and networkx."""

from itertools import combinations
from math import inf
from random import Random

import networkx as nx
import pytest

from tracegraph.powerup.link.mesh import (
    Path,
    at_most,
    between,
    carrying,
    level,
)
from tracegraph.quantity import exact, unknown


def path(owner: str, a: str, b: str, ohms: float) -> Path:
    return Path(owner, a, b, exact(ohms, "ohm"))


def test_the_cube_of_twelve_ohms() -> None:
    # Edge 7/12, face 3/4, body 5/6 ohm: a standard textbook result.
    corners = [f"{x}{y}{z}" for x in "01" for y in "01" for z in "01"]
    edges = [
        path(f"R{a}{b}", a, b, 1.0)
        for a, b in combinations(corners, 2)
        if sum(x != y for x, y in zip(a, b, strict=True)) == 1
    ]
    assert between(edges, "000", "001") == pytest.approx(7 / 12)
    assert between(edges, "000", "011") == pytest.approx(3 / 4)
    assert between(edges, "000", "111") == pytest.approx(5 / 6)


@pytest.mark.parametrize("seed", range(8))
def test_it_agrees_with_networkx(seed: int) -> None:
    # networkx.resistance_distance: an independent library.
    dice = Random(seed)
    nets = [f"N{k}" for k in range(7)]
    pairs = [(nets[k], nets[k + 1]) for k in range(6)]
    pairs += dice.sample(list(combinations(nets, 2)), 6)
    paths = [
        path(f"R{k}", a, b, 10 ** dice.uniform(0, 5)) for k, (a, b) in enumerate(pairs)
    ]
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    for one in paths:
        graph.add_edge(one.a, one.b, weight=one.ohms.typical)
    expected = nx.resistance_distance(graph, "N0", "N6", weight="weight")
    assert between(paths, "N0", "N6") == pytest.approx(expected)


def test_nothing_between_two_nets_is_open() -> None:
    assert between([path("R1", "A", "B", 1.0)], "A", "C") == inf


def test_a_value_nobody_knows_may_be_open() -> None:
    paths = [Path("R1", "A", "B", unknown("ohm", 1.0, 22e6)), path("R2", "A", "B", 1e5)]
    assert between(paths, "A", "B", at_most) == pytest.approx(1e5)


def test_what_hangs_on_one_end_only_carries_nothing() -> None:
    paths = [
        path("R1", "BUS", "MID", 1e5),
        path("R2", "MID", "COM", 1e5),
        path("R3", "MID", "IN", 1e4),  # to a chip's input
        path("R4", "COM", "X", 1e4),
        path("R5", "X", "Y", 1e4),
        path("R6", "Y", "COM", 1e4),  # a loop of its own
    ]
    assert [one.owner for one in carrying(paths, "BUS", "COM")] == ["R1", "R2"]


def test_a_meter_of_ten_megohms_loads_a_sense_chain() -> None:
    # 3 x 1M + 10k at 400 V: tap 1.328 V, middle nodes 250.4 V (267.1 true) and
    # 125.8 V (134.2 true); worked out by hand, common practice, no source.
    names = ["BUS", "A", "B", "TAP", "COM"]
    ohms = [1e6, 1e6, 1e6, 10e3]
    chain = [
        path(f"R{k}", a, b, r)
        for k, (a, b, r) in enumerate(zip(names, names[1:], ohms, strict=False))
    ]
    known = {"BUS": 400.0, "COM": 0.0}
    true = [level(chain, net, known) for net in ("A", "B", "TAP")]
    shown = [level(chain, net, known, 10e6) for net in ("A", "B", "TAP")]
    assert true == pytest.approx([267.1, 134.2, 1.329], abs=0.05)
    assert shown == pytest.approx([250.4, 125.8, 1.328], abs=0.05)


def test_a_net_that_nothing_holds_has_no_level() -> None:
    assert level([path("R1", "A", "B", 1.0)], "A", {"C": 5.0}) is None
