"""The pins of a plain box go in the order of what they lead to."""

from tests.draw.written import cells, section_of
from tracegraph.draw.cell import Cell, moved
from tracegraph.draw.electric import levels, potentials
from tracegraph.draw.orient import standings
from tracegraph.draw.sorting import sorted_sides
from tracegraph.draw.symbols.sides import Sides

CHIP = """\
U1 ic 1=A 2=B 3=C 4=D 5=COM
R1 1k A -- X
R2 1k B -- X
R3 1k C -- X
R4 1k D -- X
"""


def wanted(lines: str, heights: dict[str, int]) -> dict[str, Sides]:
    """Return what the pins want with each cell at a height."""

    def put(cell: Cell) -> Cell:
        return moved(cell, (0, heights.get(cell.drawn[0].ref, 0)))

    placed = [put(cell) for cell in cells(lines)]
    return dict(sorted_sides(section_of(lines), placed))


def test_pins_go_in_the_order_of_the_heights_they_lead_to() -> None:
    found = wanted(CHIP, {"R1": 30, "R2": 20, "R3": 10})
    assert found["U1"].left == ("3", "2", "1")
    assert found["U1"].right == ("4", "5")


def test_what_is_in_order_wants_nothing() -> None:
    assert wanted(CHIP, {"R1": 10, "R2": 20, "R3": 30, "R4": 20}) == {}


def test_a_symbol_whose_pins_have_fixed_places_keeps_them() -> None:
    lines = "U1 opamp out=A in-=B in+=C gnd=COM vcc=P12\n" + CHIP.split("\n", 1)[1]
    assert wanted(lines, {"R2": 90, "R3": -90}) == {}


def test_a_chip_is_drawn_with_the_pins_in_the_order_they_want() -> None:
    section = section_of(CHIP)
    wants = wanted(CHIP, {"R1": 30, "R2": 20, "R3": 10})
    found = standings(section, potentials(section), levels(section), wants)
    (chip,) = [one for one in found if one.item.ref == "U1"]
    left = sorted((leg.at[1], leg.pin) for leg in chip.symbol.legs if leg.at[0] == 0)
    assert [pin for _, pin in left] == ["3", "2", "1"]
