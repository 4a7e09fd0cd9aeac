"""Diagnosis and advice for machines: stable keys, null where there is no number."""

import json
from math import inf, nan
from typing import Any

import pytest

from tests.views.verdicts import ADVICE, EMPTY, FOUND, HEALTHY, LEAKY, TRACING
from tracegraph.asking.logbook.logs import Logged, Told
from tracegraph.diagnose.verdict import Group, Verdict
from tracegraph.diagnostics import Span, doubt
from tracegraph.notation.source import from_text
from tracegraph.stage.stage import Stage
from tracegraph.views.record import as_json
from tracegraph.views.suspects_record import next_record, suspects_record

LOGGED = Logged(Stage())
ENVELOPE = {"tool", "format", "command", "file", "problems", "results"}
GROUP = {"rank", "chance", "slip", "suspects", "evidence", "check", "lift"}
SUSPECT = {
    *("words", "name", "sort", "parts", "nets", "changes", "prior", "chance"),
    *("value", "low", "high", "unit"),
}
VERDICT = {
    *("state", "words", "healthy", "readings", "odd", "doubtful", "lawful"),
    *("conflicts", "untested", "unseen", "left", "condition", "meter", "supply"),
}
PROPOSAL = {"red", "black", "mode", "condition", "bits", "cost", "words", "outcomes"}


def record(verdict: Verdict) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(
        as_json(suspects_record("a.trace", verdict, LOGGED))
    )
    return found


@pytest.mark.parametrize("verdict", [FOUND, TRACING, HEALTHY, EMPTY])
def test_every_key_is_there(verdict: Verdict) -> None:
    told = record(verdict)
    assert set(told) == {*ENVELOPE, "verdict"}
    assert set(told["verdict"]) == VERDICT
    for group in told["results"]:
        assert set(group) == GROUP
        assert all(set(one) == SUSPECT for one in group["suspects"])
    assert told["verdict"]["state"] == verdict.state.value


def test_groups_come_in_order_with_values_in_si_units() -> None:
    told = record(FOUND)
    assert [one["rank"] for one in told["results"]] == [1, 2, 3, 4]
    first = told["results"][0]["suspects"][0]
    assert (first["value"], first["low"], first["unit"]) == (1.2e3, 1.12e3, "ohm")
    assert told["results"][0]["suspects"][1]["value"] is None
    assert told["results"][1]["suspects"][1]["changes"] == ["GD parted"]


def test_a_reading_that_is_no_number_has_no_value() -> None:
    readings = record(FOUND)["verdict"]["readings"]
    by_display = {one["display"]: one for one in readings}
    assert by_display["OL"]["value"] is None
    assert by_display["0.48 V"]["value"] == 0.48


def test_no_number_is_nan_or_infinite() -> None:
    odd = LEAKY._replace(high=inf, value=nan)
    told = record(FOUND._replace(groups=(Group((odd,), nan, ()),)))
    (group,) = told["results"]
    assert group["chance"] is None
    assert (group["suspects"][0]["high"], group["suspects"][0]["value"]) == (None, None)


def test_advice_is_told_with_its_outcomes() -> None:
    told = json.loads(as_json(next_record("a.trace", ADVICE, LOGGED)))
    assert set(told) == {*ENVELOPE, "advice"}
    assert told["advice"] == {"words": "", "done": False}
    assert all(set(one) == PROPOSAL for one in told["results"])
    assert told["results"][1]["condition"]["words"] == ["cold", "lifted R26.1"]
    assert told["results"][0]["outcomes"][0]["healthy"] is True


def test_a_problem_names_the_log_that_it_stands_in() -> None:
    wrong = doubt("readings-differ", "they differ", Span(1, 1, 2))
    stage = Stage(problems=(wrong,))
    logged = Logged(stage, (Told(from_text("a.log", ""), (wrong,)),))
    told = json.loads(as_json(suspects_record("a.trace", HEALTHY, logged)))
    assert [one["log"] for one in told["problems"]] == [None, "a.log"]
