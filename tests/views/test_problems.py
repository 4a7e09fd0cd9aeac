"""A problem as a person reads it: place, line, mark, what was meant."""

import pytest

from tracegraph.diagnostics import Label, Problem, Severity, Span
from tracegraph.notation.source import Source
from tracegraph.views.problems import left_out, problem_text

SOURCE = Source("bench.trace", "ground COM\n\tR1 1kk A -- B\n")


def problem(span: Span | None, severity: Severity = Severity.ERROR) -> Problem:
    return Problem("no-value", severity, "this is no value", span, "write 1k")


def test_the_mark_stands_under_its_place_even_behind_a_tab() -> None:
    assert problem_text(problem(Span(2, 5, 8)), SOURCE) == (
        "bench.trace, line 2, column 5: left out\n"
        "    \tR1 1kk A -- B\n"
        "    \t   ===\n"
        "  This is no value.\n"
        "  Write 1k"
    )


def test_the_end_of_a_line_has_a_mark_too() -> None:
    assert problem_text(problem(Span(1, 11, 11)), SOURCE).splitlines()[2] == (
        "    " + " " * 10 + "="
    )


def test_a_problem_of_the_whole_file_has_no_line() -> None:
    text = problem_text(problem(None, Severity.DOUBT), SOURCE)
    assert text.splitlines()[0] == "bench.trace: in doubt"


def test_a_second_place_is_shown_with_its_line() -> None:
    first = problem(Span(2, 5, 8))
    twice = Problem(
        first.code,
        first.severity,
        first.message,
        first.span,
        "",
        (Label(Span(1, 8, 11), "COM is here"),),
    )
    assert problem_text(twice, SOURCE).endswith(
        "  Line 1: COM is here.\n    ground COM\n           ==="
    )


@pytest.mark.parametrize(
    ("lines", "sentence"),
    [
        ((), ""),
        ((14,), "Line 14 is not understood in full and left out."),
        ((3, 14, 3, 9), "Lines 3, 9 and 14 are not understood in full and left out."),
    ],
)
def test_an_answer_says_which_lines_it_stands_without(
    lines: tuple[int, ...], sentence: str
) -> None:
    problems = [problem(Span(line, 1, 2)) for line in lines]
    problems.append(problem(Span(99, 1, 2), Severity.DOUBT))
    assert left_out(problems) == sentence
