"""The sheet as CSV: one row an ordered reading, its last column to be filled in."""

import csv
import io
from collections.abc import Sequence

from tracegraph.meter.expected import Expected
from tracegraph.meter.sheet import SheetRow

HEAD = ("red", "black", "mode", "low", "high", "expected", "reading")


def sheet_csv(rows: Sequence[SheetRow]) -> str:
    """Return the readings of a sheet as CSV; low and high in SI units, empty for OL."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEAD)
    for row in rows:
        writer.writerow(_cells(row.forward))
        writer.writerow(_cells(row.backward))
    return out.getvalue()


def _cells(one: Expected) -> tuple[str, ...]:
    expected = f"no answer: {one.error}" if one.error else one.display
    low, high = _number(one.low), _number(one.high)
    return (one.red, one.black, one.mode.value, low, high, expected, "")


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}"
