"""Cells stand free of each other, the signal running from left to right."""

from itertools import combinations

import pytest

from tests.draw.written import cells, example_drawing, part_of, pin_at, sheet_of
from tracegraph.draw.cell import Cell
from tracegraph.draw.place import Spacing, arrange

PATH = """\
input IN 0V / 5V
R1 1k IN -- A
Q1 npn b=A c=B e=COM
R2 1k P12 -- B
R3 1k B -- C
Q2 nfet g=C d=P12 s=COM
"""


def left(cell: Cell) -> float:
    return cell.box.left


@pytest.mark.parametrize("spacing", [Spacing(), Spacing(3, 1), Spacing(9, 5)])
def test_no_cell_stands_on_another(spacing: Spacing) -> None:
    for one, other in combinations(arrange(cells(PATH), spacing), 2):
        assert not one.box.meets(other.box)


def test_the_signal_runs_from_left_to_right() -> None:
    found = {cell.drawn[0].ref: cell for cell in arrange(cells(PATH), Spacing())}
    order = [left(found[ref]) for ref in ("R1", "R2", "R3", "Q2")]
    assert order == sorted(order)
    assert len(set(order)) == 4


def test_more_room_is_more_room() -> None:
    def wide(spacing: Spacing) -> float:
        placed = arrange(cells(PATH), spacing)
        return max(cell.box.right for cell in placed) - min(map(left, placed))

    assert wide(Spacing(9, 2)) >= wide(Spacing(4, 2)) + 3 * 5 - 3


def test_cells_are_moved_and_nothing_else() -> None:
    before = cells(PATH)
    for one, other in zip(before, arrange(before, Spacing()), strict=True):
        assert [part.ref for part in one.drawn] == [part.ref for part in other.drawn]
        x, y = (other.ends[0].at[k] - one.ends[0].at[k] for k in (0, 1))
        assert [end.at for end in other.ends] == [
            (end.at[0] + x, end.at[1] + y) for end in one.ends
        ]


def test_one_cell_needs_no_place() -> None:
    (cell,) = cells("R1 1k P12 -- COM\n")
    assert arrange([cell], Spacing()) == (cell,)


def test_the_wires_of_a_plain_path_run_straight() -> None:
    sheet = sheet_of(PATH)
    assert pin_at(part_of(sheet, "R1"), "2")[1] == pin_at(part_of(sheet, "Q1"), "b")[1]
    assert pin_at(part_of(sheet, "R3"), "2")[1] == pin_at(part_of(sheet, "Q2"), "g")[1]


def test_the_treadmill_is_read_from_the_input_to_the_switch() -> None:
    (sheet,) = example_drawing("treadmill-gate-drive").sheets
    path = ["R21", "Q21", "R23", "Q22", "D21", "R26", "Q24"]
    order = [part_of(sheet, ref).body.left for ref in path]
    assert order == sorted(order)
