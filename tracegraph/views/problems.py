"""Problems as text: the place, the line with a mark under it, what was meant.

The layout is plain ASCII around the line as it was written, so that it survives any
terminal, mail and printer.
"""

from collections.abc import Iterable
from textwrap import wrap

from tracegraph.diagnostics import Problem, Severity, Span
from tracegraph.notation.source import Source

_WIDTH = 78
_INDENT = "    "
_VERDICTS = {Severity.ERROR: "left out", Severity.DOUBT: "in doubt"}


def problem_text(problem: Problem, source: Source) -> str:
    """Return one problem as a block of lines, without a line end.

    Args:
        problem: What is wrong.
        source: The text that its places lie in.
    """
    lines = [_heading(problem, source.name)]
    if problem.span:
        lines += _marked_line(problem.span, source)
    lines += _paragraph(_closed(problem.message))
    lines += _paragraph(problem.hint)
    for label in problem.related:
        lines += _paragraph(_closed(f"line {label.span.line}: {label.text}"))
        lines += _marked_line(label.span, source)
    return "\n".join(lines)


def problems_text(problems: Iterable[Problem], source: Source) -> str:
    """Return problems one below the other, an empty line between."""
    return "\n\n".join(problem_text(problem, source) for problem in problems)


def left_out(problems: Iterable[Problem]) -> str:
    """Return which lines were not understood, in one sentence; empty if none."""
    found = {one.span.line for one in problems if one.span and _costs_line(one)}
    numbers = [str(number) for number in sorted(found)]
    if not numbers:
        return ""
    if len(numbers) == 1:
        return f"Line {numbers[0]} is not understood in full and left out."
    named = f"{', '.join(numbers[:-1])} and {numbers[-1]}"
    return f"Lines {named} are not understood in full and left out."


def _costs_line(problem: Problem) -> bool:
    return problem.severity is Severity.ERROR


def _heading(problem: Problem, name: str) -> str:
    verdict = _VERDICTS[problem.severity]
    if problem.span is None:
        return f"{name}: {verdict}"
    place = f"line {problem.span.line}, column {problem.span.column}"
    return f"{name}, {place}: {verdict}"


def _marked_line(span: Span, source: Source) -> list[str]:
    """Return the line and a mark under the place, tabs kept so that both align."""
    line = source.line(span.line)
    before = "".join("\t" if c == "\t" else " " for c in line[: span.column - 1])
    width = max(min(span.end, len(line) + 1) - span.column, 1)
    return [f"{_INDENT}{line.rstrip()}", f"{_INDENT}{before}{'=' * width}"]


def _closed(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."


def _paragraph(text: str) -> list[str]:
    text = text[:1].upper() + text[1:]
    return wrap(text, _WIDTH, initial_indent="  ", subsequent_indent="  ")
