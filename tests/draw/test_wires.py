"""Unit edges become the longest straight pieces, with dots where arms meet."""

from hypothesis import given
from hypothesis import strategies as st

from tracegraph.draw.copper import edges_of
from tracegraph.draw.wires import Edge, pieces_of, wire_of

PLACES = st.tuples(st.integers(0, 6), st.integers(0, 6))


def _edge(at: tuple[int, int], flat: bool) -> Edge:
    x, y = at
    return (at, (x + 1, y)) if flat else (at, (x, y + 1))


EDGES = st.builds(_edge, PLACES, st.booleans())


def level(*xs: int, y: int = 0) -> set[Edge]:
    """Return unit edges to the right of some places on a line."""
    return {((x, y), (x + 1, y)) for x in xs}


@given(st.sets(EDGES, min_size=1))
def test_pieces_cover_the_edges_just_once(edges: set[Edge]) -> None:
    wire = wire_of("A", edges, ())
    found = list(edges_of(wire))
    assert len(found) == len(set(found))
    assert set(found) == edges


@given(st.sets(EDGES, min_size=1))
def test_no_piece_goes_on_in_another(edges: set[Edge]) -> None:
    pieces = pieces_of(edges)
    flat = [piece for piece in pieces if piece[0][1] == piece[1][1]]
    steep = [piece for piece in pieces if piece[0][1] != piece[1][1]]
    for alike in (flat, steep):
        assert not {one for one, _ in alike} & {two for _, two in alike}


def test_a_corner_has_no_dot_and_a_branch_has_one() -> None:
    down: set[Edge] = {((1, 0), (1, 1))}
    assert wire_of("A", level(0) | down, ()).dots == ()
    assert wire_of("A", level(0, 1) | down, ()).dots == ((1, 0),)


def test_a_pin_on_the_way_is_an_arm_too() -> None:
    assert wire_of("A", level(0, 1), [(1, 0)]).dots == ((1, 0),)
    assert wire_of("A", level(0, 1), [(0, 0)]).dots == ()
    assert wire_of("A", level(0, 1), [(0, 0), (0, 0)]).dots == ((0, 0),)


def test_a_gap_parts_two_pieces() -> None:
    assert pieces_of(level(0, 1, 3)) == [((0, 0), (2, 0)), ((3, 0), (4, 0))]
