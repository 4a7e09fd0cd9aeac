"""Node voltages and tree branch voltages say the same."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tracegraph.network.circuit import Ints
from tracegraph.network.tree import span

SIZE = 9
edges = st.lists(
    st.tuples(st.integers(0, SIZE - 1), st.integers(0, SIZE - 1)), max_size=15
).map(lambda pairs: np.array(pairs, np.intp).reshape(-1, 2))


@given(edges)
def test_node_voltages_come_back_from_the_tree(ends: Ints) -> None:
    tree = span(SIZE, ends)
    nodes = np.random.default_rng(len(ends)).normal(size=SIZE)
    over_root = nodes - nodes[tree.component]
    assert np.allclose(tree.potentials @ tree.unknowns(nodes), over_root)
    across = nodes[ends[:, 0]] - nodes[ends[:, 1]]
    assert np.allclose(tree.paths(ends) @ tree.unknowns(nodes), across)


@given(edges)
def test_what_a_branch_joins_is_joined(ends: Ints) -> None:
    tree = span(SIZE, ends)
    assert tree.joined(ends).all()
    pieces = len(tree.roots)
    assert tree.potentials.shape == (SIZE, SIZE - pieces)


def test_the_first_branches_are_in_the_tree() -> None:
    tree = span(3, np.array([[2, 1], [0, 2], [0, 1]]))
    branches = {frozenset(pair) for pair in zip(tree.parent, tree.child, strict=True)}
    assert branches == {frozenset({1, 2}), frozenset({0, 2})}
