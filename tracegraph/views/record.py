"""Results for machines: plain dictionaries, ready for JSON, without NaN or infinity."""

import json
from collections.abc import Mapping, Sequence
from math import isfinite

from tracegraph.diagnostics import Problem
from tracegraph.meanings import Meaning
from tracegraph.meter.expected import Case, Expected
from tracegraph.quantity import Quantity
from tracegraph.stage.reading import Condition
from tracegraph.views.words import bench_words

Record = dict[str, object]
FORMAT = 1


def as_json(value: object, *, ascii_only: bool = False) -> str:
    """Return a value as JSON text with a newline at its end."""
    text = json.dumps(value, ensure_ascii=ascii_only, allow_nan=False, indent=2)
    return f"{text}\n"


def envelope(
    command: str,
    file: str | None,
    problems: Sequence[Problem],
    results: Sequence[object],
) -> Record:
    """Return the one object that every command prints, `expect` and `sheet` excepted."""
    return {
        "tool": "tracegraph",
        "format": FORMAT,
        "command": command,
        "file": file,
        "problems": [problem_record(one) for one in problems],
        "results": list(results),
    }


def number(value: float | None) -> float | None:
    """Return a number to nine digits; None for what is no finite number.

    >>> number(0.1 + 0.2), number(float("inf"))
    (0.3, None)
    """
    return float(f"{value:.9g}") if value is not None and isfinite(value) else None


def problem_record(problem: Problem) -> Record:
    """Return a problem with its places."""
    return {
        "code": problem.code,
        "severity": problem.severity.value,
        "message": problem.message,
        **_place(problem.span),
        "hint": problem.hint,
        "related": [
            {**_place(label.span), "text": label.text} for label in problem.related
        ],
    }


def _place(span: tuple[int, int, int] | None) -> Record:
    line, column, end = span or (None, None, None)
    return {"line": line, "column": column, "end": end}


def quantity_record(quantity: Quantity) -> Record:
    """Return a value with what is known of it; a missing bound is null."""
    return {
        "typical": number(quantity.typical),
        "low": number(quantity.low),
        "high": number(quantity.high),
        "unit": quantity.unit,
        "origin": quantity.origin.value,
    }


def meaning_record(marking: str, meaning: Meaning) -> Record:
    """Return one meaning of a marking."""
    return {
        "marking": marking,
        "value": number(meaning.number),
        "unit": meaning.unit,
        "code": meaning.code,
        "words": meaning.words,
        "tolerance": number(meaning.tolerance),
        "volts": number(meaning.volts),
        "why": meaning.why,
        "source": meaning.source,
    }


def expected_record(one: Expected) -> Record:
    """Return an expected reading; a failed one has its `error` and no `value`."""
    asked: Record = {
        "red": one.red,
        "black": one.black,
        "mode": one.mode.value,
        "condition": condition_record(one.condition),
        "meter": one.meter,
    }
    if one.error:
        return {**asked, "error": one.error}
    return {**asked, **_display(one), **_basis(one)}


def _display(one: Expected) -> Record:
    return {
        "value": number(one.typical),
        "unit": one.unit,
        "low": number(one.low),
        "high": number(one.high),
        "worst_low": number(one.worst_low),
        "worst_high": number(one.worst_high),
        "may_be_open": one.may_be_open,
        "display": one.display,
        "cases": [_case(case) for case in one.cases],
        "bound": one.bound.value,
        "early": one.early,
        "settles": number(one.settles),
    }


def _basis(one: Expected) -> Record:
    return {
        "reason": one.reason,
        "parts": list(one.parts),
        "hidden": list(one.hidden),
        "unproven": list(one.unproven),
        "uncertain": list(one.uncertain),
        "ask": one.ask,
        "residual": number(one.residual),
    }


def _case(case: Case) -> Record:
    return {
        "low": number(case.low),
        "high": number(case.high),
        "open": case.open,
        "why": case.why,
        "share": number(case.share),
        "display": case.display,
    }


def condition_record(condition: Condition) -> Mapping[str, object]:
    """Return how the bench stands."""
    return {
        "power": condition.power,
        "words": list(bench_words(condition)),
        "joined": [list(nets) for nets in condition.joined],
        "unplugged": list(condition.unplugged),
        "after": number(condition.after),
    }
