"""What comes in stands at the left, what goes on at the right."""

from tests.draw.written import section_of
from tracegraph.draw.cell import Cell
from tracegraph.draw.drawing import PortForm
from tracegraph.draw.electric import levels
from tracegraph.draw.flags import FIRST, flag_cells
from tracegraph.draw.items import Section
from tracegraph.draw.shapes import Side

PATH = """\
input IN 0V / 5V
R1 1k IN -- A
R2 1k IN -- A
R3 1k A -- B
R4 1k A -- B
"""


def flags(section: Section) -> dict[str, Cell]:
    return {cell.ports[0].net: cell for cell in flag_cells(section, levels(section))}


def test_an_input_comes_first_and_its_wire_leaves_to_the_right() -> None:
    cell = flags(section_of(PATH))["IN"]
    (end,) = cell.ends
    assert (end.side, end.at, cell.rank) == (Side.RIGHT, (0, 0), FIRST)
    assert cell.ports[0].form is PortForm.INPUT
    assert cell.ports[0].box.right <= 0


def test_an_open_end_comes_after_its_net_and_its_wire_arrives_from_the_left() -> None:
    cell = flags(section_of(PATH + "not traced B\n"))["B"]
    assert cell.ends[0].side is Side.LEFT
    assert cell.rank == 2 + 1
    assert cell.ports[0].box.left >= 0


def test_a_net_of_another_sheet_stands_where_it_belongs_along_the_signal() -> None:
    stage = section_of(PATH).stage
    section = Section(
        stage, section_of(PATH).items, {"A": (2,), "IN": (3,), "B": (2, 3)}
    )
    found = flags(section)
    assert found["A"].ends[0].side is Side.LEFT
    assert [text.text for text in found["B"].ports[0].texts] == ["B → 2, 3"]
    assert len(list(flag_cells(section, levels(section)))) == 4  # IN has two reasons
