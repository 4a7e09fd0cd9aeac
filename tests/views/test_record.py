"""Results for machines: every key there, never NaN or infinity."""

import json
from dataclasses import replace
from math import inf, nan

import pytest

from tests.views.expectations import BEEP, FAILED, OPEN, PLAIN, REST_OPEN
from tracegraph.diagnostics import Label, Problem, Severity, Span
from tracegraph.meter.expected import Expected
from tracegraph.views.record import as_json, envelope, expected_record

KEYS = {
    *("red", "black", "mode", "value", "unit", "low", "high", "display", "reason"),
    *("parts", "residual", "worst_low", "worst_high", "may_be_open", "bound"),
    *("cases", "hidden", "unproven", "uncertain", "ask", "early", "settles"),
    *("condition", "meter"),
}


@pytest.mark.parametrize("one", [PLAIN, REST_OPEN, BEEP, OPEN])
def test_every_key_is_there(one: Expected) -> None:
    assert set(expected_record(one)) == KEYS


def test_a_number_is_in_si_units() -> None:
    record = expected_record(PLAIN)
    assert (record["value"], record["unit"]) == (22e3, "ohm")
    assert (record["low"], record["high"]) == (21.7e3, 22.3e3)


def test_ol_and_beeps_have_no_value() -> None:
    assert expected_record(OPEN)["value"] is None
    assert expected_record(BEEP)["value"] is None
    assert expected_record(BEEP)["unit"] == ""


def test_what_never_rests_is_null() -> None:
    assert expected_record(OPEN)["settles"] is None


def test_a_failed_pair_has_an_error_and_no_value() -> None:
    record = expected_record(FAILED)
    assert record["error"] == FAILED.error
    assert "value" not in record
    assert "low" not in record


def test_no_number_is_nan_or_infinite() -> None:
    odd = replace(PLAIN, worst_high=inf, residual=nan)
    record = json.loads(as_json([expected_record(odd)]))[0]
    assert (record["worst_high"], record["residual"]) == (None, None)


def test_infinity_cannot_slip_through() -> None:
    with pytest.raises(ValueError, match="Out of range"):
        as_json([inf])


def test_a_problem_keeps_all_its_places() -> None:
    problem = Problem(
        "said-twice",
        Severity.DOUBT,
        "twice",
        Span(3, 1, 9),
        "leave one out",
        (Label(Span(1, 1, 4), "first here"),),
    )
    record = envelope("check", "a.trace", [problem], [])
    assert record["problems"] == [
        {
            "code": "said-twice",
            "severity": "doubt",
            "message": "twice",
            "line": 3,
            "column": 1,
            "end": 9,
            "hint": "leave one out",
            "related": [{"line": 1, "column": 1, "end": 4, "text": "first here"}],
        }
    ]


def test_plain_letters_are_escaped_where_a_terminal_needs_it() -> None:
    assert json.loads(as_json("47 Ω", ascii_only=True)) == "47 Ω"
    assert as_json("47 Ω", ascii_only=True).isascii()
