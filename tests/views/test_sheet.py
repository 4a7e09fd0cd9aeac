"""The sheet on paper and as CSV."""

import csv
import io
from collections.abc import Callable
from dataclasses import replace

from tests.views.expectations import FAILED, OPEN, PLAIN, REST_OPEN
from tracegraph.meter.sheet import SheetRow
from tracegraph.stage.reading import Mode
from tracegraph.views.plain import plain_text
from tracegraph.views.sheet_csv import sheet_csv
from tracegraph.views.sheet_page import BOX, sheet_page

TURNED = replace(PLAIN, red="COM", black="GATE")
ROWS = (
    SheetRow("rest", REST_OPEN, replace(OPEN, red="COM", black="GATE")),
    SheetRow("R27", PLAIN, TURNED),
    SheetRow("to COM", replace(PLAIN, red="N1", mode=Mode.OHMS), FAILED),
)


def test_the_sheet_to_print(golden: Callable[[str, str], None]) -> None:
    golden("views/sheet.txt", plain_text(sheet_page("belt motor", ROWS)))


def test_every_row_has_two_boxes_to_write_in() -> None:
    text = plain_text(sheet_page("belt motor", ROWS))
    assert text.count(BOX) == 2 * len(ROWS)
    assert max(map(len, text.splitlines())) <= 80


def test_rest_rows_are_asked_for_first() -> None:
    text = plain_text(sheet_page("belt motor", ROWS))
    assert text.index("Take the `rest` rows first") < text.index(BOX)
    without = plain_text(sheet_page("belt motor", ROWS[1:]))
    assert "Take the `rest` rows first" not in without


def test_nothing_worth_probing_is_said() -> None:
    assert "nothing here worth probing" in plain_text(sheet_page("x", ()))


def test_csv_has_one_row_an_ordered_reading_with_its_last_column_empty() -> None:
    table = list(csv.reader(io.StringIO(sheet_csv(ROWS))))
    assert table[0] == ["red", "black", "mode", "low", "high", "expected", "reading"]
    assert table[3] == ["GATE", "COM", "ohms", "21700", "22300", "22 k", ""]
    assert table[2] == ["COM", "GATE", "diode", "", "", "OL", ""]
    assert len(table) == 1 + 2 * len(ROWS)
    assert {row[-1] for row in table[1:]} == {""}
