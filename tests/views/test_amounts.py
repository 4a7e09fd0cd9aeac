"""Values as people read them, and what was taken as usual."""

from math import inf

import pytest

from tracegraph.notation.source import from_text
from tracegraph.quantity import Quantity, exact, unknown
from tracegraph.stage.part import Part
from tracegraph.stage.read import read
from tracegraph.views.amounts import amount, assumed, value_of, whole
from tracegraph.views.words import window


def part(line: str) -> Part:
    (found,) = read(from_text("x", f"{line}\n")).parts
    return found


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (4700.0, "ohm", "4.7 kΩ"),
        (0.22, "ohm", "0.22 Ω"),
        (1e6, "ohm", "1 MΩ"),
        (2.2e-9, "F", "2.2 nF"),
        (12.0, "V", "12 V"),
    ],
)
def test_a_value_carries_its_whole_unit(value: float, unit: str, shown: str) -> None:
    assert whole(value, unit) == shown


@pytest.mark.parametrize(
    ("quantity", "shown"),
    [
        (exact(47.0, "ohm"), "47 Ω"),
        (exact(47.0, "ohm").within(0.01), "47 Ω ±1 %"),
        (unknown("ohm"), "not known"),
        (unknown("ohm", 0.1, 22e6), "not known, 0.1 Ω to 22 MΩ"),
        (Quantity(22.0, 14.7, inf, "ohm"), "22 Ω"),
        (exact(0.0, "V"), "0 V"),
    ],
)
def test_a_quantity_carries_its_spread(quantity: Quantity, shown: str) -> None:
    assert amount(quantity) == shown


@pytest.mark.parametrize(
    ("line", "value", "taken"),
    [
        ("R1 4k7 A -- B", "4.7 kΩ ±5 %", ["usual ±5 %"]),
        ("R1 4k7 1% A -- B", "4.7 kΩ ±1 %", []),
        ("C1 47u/25V A -> B", "47 µF ±20 %, rated 25 V", ["usual ±20 %"]),
        ("D1 diode A -> B", "", ["usual figures"]),
        ("Q1 igbt g=A c=B e=C", "", ["usual figures", "its antiparallel diode"]),
        ("Q1 igbt no diode g=A c=B e=C", "", ["usual figures"]),
        ("Q5 npn ? 1=A 2=B 3=C", "", ["usual figures", "pinout not known"]),
    ],
)
def test_what_is_taken_as_usual_is_said(
    line: str, value: str, taken: list[str]
) -> None:
    assert value_of(part(line)) == value
    assert list(assumed(part(line))) == taken


@pytest.mark.parametrize(
    ("low", "high", "unit", "told"),
    [
        (21.7e3, 22.3e3, "ohm", "21.7 to 22.3 k"),
        (939.0, 1060.0, "ohm", "939 Ω to 1.06 k"),
        (0.589, 0.769, "V", "0.589 to 0.769 V"),
        (None, None, "V", ""),
    ],
)
def test_a_window_names_its_unit_once_where_it_can(
    low: float | None, high: float | None, unit: str, told: str
) -> None:
    assert window(low, high, unit) == told
