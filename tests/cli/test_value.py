"""`tracegraph value`: markings decoded, with every other meaning."""

import json
from collections.abc import Callable

import pytest

from tests.cli.conftest import Run


def test_markings_are_decoded_as_a_table(
    run: Run, golden: Callable[[str, str], None]
) -> None:
    done = run("value", "103", "4k7", "R47", "01C", "104")
    assert done.code == 0
    golden("cli/value.txt", done.out)


@pytest.mark.parametrize(
    ("marking", "value", "unit"),
    [
        ("103", 10e3, "ohm"),  # IEC 60062, three-digit code
        ("4k7", 4700.0, "ohm"),  # IEC 60062, letter for the point
        ("R47", 0.47, "ohm"),
        ("01C", 10e3, "ohm"),  # EIA-96: 100 times 100
    ],
)
def test_the_likeliest_meaning_comes_first(
    run: Run, marking: str, value: float, unit: str
) -> None:
    told = json.loads(run("value", marking, "--json").out)
    first = told["results"][0]
    assert (first["marking"], first["unit"]) == (marking, unit)
    assert first["value"] == pytest.approx(value)
    assert told["file"] is None


def test_a_capacitor_code_is_told_beside_the_resistor_code(run: Run) -> None:
    told = json.loads(run("value", "104", "--json").out)
    meanings = {(one["value"], one["unit"]) for one in told["results"]}
    assert {(100e3, "ohm"), (100e-9, "F")} <= meanings


def test_a_marking_without_a_meaning_says_so(run: Run) -> None:
    done = run("value", "xyzzy")
    assert done.code == 1
    assert "No code that is known" in done.out
