"""Resistor networks against textbooks and a reference library."""

import math
from itertools import combinations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.network.circuits import resistors, table
from tracegraph.network.linear import changed, resistances

Edge = tuple[int, int, float]


@st.composite
def networks(draw: st.DrawFn) -> list[Edge]:
    """Draw a connected network of resistors, 1 ohm to 1 Mohm."""
    nodes = draw(st.integers(2, 9))
    ohms = st.floats(0.0, 6.0).map(lambda power: 10.0**power)
    tree = [(draw(st.integers(0, k - 1)), k, draw(ohms)) for k in range(1, nodes)]
    ends = st.tuples(st.integers(0, nodes - 1), st.integers(0, nodes - 1))
    more = draw(st.lists(st.tuples(ends, ohms), max_size=12))
    return tree + [(a, b, r) for (a, b), r in more if a != b]


def cube() -> list[Edge]:
    """Return twelve edges of 1 ohm; corners are numbered by their coordinates' bits."""
    return [
        (a, b, 1.0) for a, b in combinations(range(8), 2) if (a ^ b).bit_count() == 1
    ]


@pytest.mark.parametrize(
    ("corner", "ohms"), [(0b001, 7 / 12), (0b011, 3 / 4), (0b111, 5 / 6)]
)
def test_the_cube_of_twelve_resistors(corner: int, ohms: float) -> None:
    """Edge, face diagonal, body diagonal: standard textbook result, from memory."""
    net = resistors(cube())
    assert table(net, resistances(net), 0, corner) == pytest.approx(ohms, rel=1e-12)


@pytest.mark.parametrize("nodes", [2, 3, 5, 12])
def test_a_complete_graph_reads_two_over_n(nodes: int) -> None:
    """Standard textbook result, from memory."""
    net = resistors((a, b, 1.0) for a, b in combinations(range(nodes), 2))
    assert table(net, resistances(net), 0, 1) == pytest.approx(2 / nodes, rel=1e-12)


@given(networks())
def test_foster_s_theorem(edges: list[Edge]) -> None:
    """R. M. Foster, 1949: the sum of R_eff / R is nodes - 1. From memory."""
    net = resistors(edges)
    ohms = resistances(net)
    total = sum(table(net, ohms, a, b) / r for a, b, r in edges)
    assert total == pytest.approx(net.size - 1, rel=1e-6)


def test_a_long_ladder_reads_the_golden_ratio() -> None:
    """Series 1 ohm, shunt 1 ohm, without end: 1.618 ohm (textbook, from memory)."""
    rungs = [(k, k + 1, 1.0) for k in range(40)]
    rungs += [(k + 1, "COM", 1.0) for k in range(40)]  # type: ignore[misc]
    net = resistors(rungs)
    golden = (1 + math.sqrt(5)) / 2
    assert table(net, resistances(net), 0, "COM") == pytest.approx(golden, rel=1e-9)


def test_neighbours_in_a_large_square_lattice_read_half_an_ohm() -> None:
    """1/2 ohm in the infinite lattice (textbook, from memory); 31 x 31 is near it."""
    side = 31
    across = [((x, y), (x + 1, y)) for x in range(side - 1) for y in range(side)]
    along = [((x, y), (x, y + 1)) for x in range(side) for y in range(side - 1)]
    net = resistors((_name(a), _name(b), 1.0) for a, b in across + along)
    middle = side // 2
    ohms = table(
        net, resistances(net), _name((middle, middle)), _name((middle + 1, middle))
    )
    assert ohms == pytest.approx(0.5, abs=1e-3)


def _name(place: tuple[int, int]) -> str:
    return f"{place[0]}x{place[1]}"


@given(networks())
def test_as_the_reference_library_says(edges: list[Edge]) -> None:
    """networkx.resistance_distance on the same network."""
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    for a, b, r in edges:
        graph.add_edge(a, b, weight=r)
    net = resistors(edges)
    ohms = resistances(net)
    for a, b in combinations(sorted(graph), 2):
        expected = nx.resistance_distance(graph, a, b, weight="weight")
        assert table(net, ohms, a, b) == pytest.approx(expected, rel=1e-4)


@given(networks())
def test_red_and_black_may_change_places(edges: list[Edge]) -> None:
    ohms = resistances(resistors(edges))
    assert ohms == pytest.approx(ohms.T, rel=1e-12)
    assert not np.diagonal(ohms).any()


@given(networks(), st.floats(1.0, 1e6), st.data())
def test_another_path_never_raises_a_reading(
    edges: list[Edge], ohms: float, data: st.DataObject
) -> None:
    """Rayleigh's monotonicity law (from memory)."""
    a, b, _ = data.draw(st.sampled_from(edges))
    before = resistances(resistors(edges))
    after = resistances(resistors([*edges, (a, b, ohms)]))
    assert (after <= before * (1 + 1e-9)).all()


@given(networks(), st.floats(1.0, 1e6), st.data())
def test_a_changed_resistor_is_one_formula_away(
    edges: list[Edge], ohms: float, data: st.DataObject
) -> None:
    agree_after_a_change(edges, data.draw(st.integers(0, len(edges) - 1)), ohms)


def test_a_bridge_taken_off_a_high_resistor_keeps_what_digits_there_are() -> None:
    high = 10**5.5
    ring = [(0, 1, 1.0), (1, 2, high), (2, 3, high), (3, 0, high), (2, 0, high)]
    agree_after_a_change(ring, 0, 858_908.0)


def agree_after_a_change(edges: list[Edge], which: int, ohms: float) -> None:
    """Hold the formula to a fresh inverse, as closely as its subtraction allows.

    `1 + g R` is what two nearly equal numbers leave; digits are lost as it is small.
    """
    net = resistors(edges)
    a, b, old = edges[which]
    others = [edge for k, edge in enumerate(edges) if k != which]
    again = resistors([*others, (a, b, ohms)])
    before, expected = resistances(net), resistances(again)
    siemens = 1 / ohms - 1 / old
    ends = (net.nodes[str(a)], net.nodes[str(b)])
    left = 1 + siemens * before[ends]
    fresh = changed(before, ends, siemens)
    names = [str(node) for node in range(net.size)]
    for one, other in combinations(names, 2):
        assert table(net, fresh, one, other) == pytest.approx(
            table(again, expected, one, other), rel=1e-9 / min(left, 1.0)
        )


def test_a_lifted_resistor_that_held_the_net_alone_leaves_it_open() -> None:
    net = resistors([("A", "B", 1e3), ("B", "C", 2e3)])
    ohms = changed(resistances(net), (net.nodes["A"], net.nodes["B"]), -1e-3)
    assert table(net, ohms, "A", "B") == math.inf
    assert table(net, ohms, "A", "C") == math.inf
    assert table(net, ohms, "B", "C") == pytest.approx(2e3)


def test_a_bridge_between_two_islands_joins_them() -> None:
    net = resistors([("A", "B", 1e3), ("C", "D", 2e3)])
    ohms = changed(resistances(net), (net.nodes["B"], net.nodes["C"]), 1 / 47.0)
    assert table(net, ohms, "A", "D") == pytest.approx(3047.0)
    assert table(net, ohms, "A", "B") == pytest.approx(1e3)


def test_nets_without_a_common_conductor_are_apart() -> None:
    net = resistors([("A", "B", 1e3), ("C", "D", 1e3)])
    ohms = resistances(net)
    assert table(net, ohms, "A", "C") == math.inf
    assert table(net, ohms, "A", "B") == pytest.approx(1e3)


def test_a_shunt_beside_a_megohm_keeps_its_digits() -> None:
    net = resistors([("HV", "S", 10e6), ("S", "COM", 1e-3), ("HV", "COM", 1e6)])
    assert table(net, resistances(net), "S", "COM") == pytest.approx(1e-3, rel=1e-8)
