"""What a reader joins, and what he does not."""

from tests.draw.copper import Piece, Place, Tied, joined

LEVEL: Piece = ((0, 5), (10, 5))
UPRIGHT: Piece = ((5, 0), (5, 10))
LEFT, RIGHT, TOP, FOOT = (
    Tied("left", (0, 5)),
    Tied("right", (10, 5)),
    Tied("top", (5, 0)),
    Tied("foot", (5, 10)),
)
ALL = (LEFT, RIGHT, TOP, FOOT)


def nets(
    *pieces: Piece, dots: tuple[Place, ...] = (), tied: tuple[Tied, ...] = ALL
) -> list[str]:
    groups = joined(pieces, dots, tied)
    found: dict[object, list[str]] = {}
    for one in tied:
        found.setdefault(groups.find(one.name), []).append(str(one.name))
    return sorted(" ".join(sorted(names)) for names in found.values())


def test_wires_that_cross_do_not_meet() -> None:
    assert nets(LEVEL, UPRIGHT) == ["foot top", "left right"]


def test_a_dot_joins_a_crossing() -> None:
    assert nets(LEVEL, UPRIGHT, dots=((5, 5),)) == ["foot left right top"]


def test_a_crossing_stays_one_however_its_pieces_are_split() -> None:
    halves: tuple[Piece, ...] = (
        ((0, 5), (5, 5)), ((5, 5), (10, 5)), ((5, 0), (5, 5)), ((5, 5), (5, 10))
    )  # fmt: skip
    assert nets(*halves) == ["foot top", "left right"]


def test_a_corner_joins() -> None:
    assert nets(((0, 5), (5, 5)), ((5, 5), (5, 10)), tied=(LEFT, FOOT)) == ["foot left"]


def test_an_end_on_a_wire_joins_only_with_a_dot() -> None:
    stub: Piece = ((5, 5), (5, 10))
    three = (LEFT, RIGHT, FOOT)
    assert nets(LEVEL, stub, tied=three) == ["foot", "left right"]
    assert nets(LEVEL, stub, dots=((5, 5),), tied=three) == ["foot left right"]


def test_a_pin_on_the_way_joins_only_with_a_dot() -> None:
    pin = Tied("pin", (5, 5))
    assert nets(LEVEL, tied=(LEFT, RIGHT, pin)) == ["left right", "pin"]
    assert nets(LEVEL, dots=((5, 5),), tied=(LEFT, pin)) == ["left pin"]


def test_two_pins_at_one_point_are_joined() -> None:
    assert nets(tied=(Tied("a", (1, 1)), Tied("b", (1, 1)))) == ["a b"]


def test_wires_on_each_other_are_joined() -> None:
    long: Piece = ((0, 5), (8, 5))
    short: Piece = ((4, 5), (10, 5))
    assert nets(long, short, tied=(LEFT, RIGHT)) == ["left right"]
