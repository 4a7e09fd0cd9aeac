"""From a text to a Stage: parsed, built and checked, with every problem in its place."""

from collections.abc import Iterable
from dataclasses import replace

from tracegraph.diagnostics import Problem
from tracegraph.notation.parser import parse
from tracegraph.notation.source import Source
from tracegraph.stage.checks.all import check
from tracegraph.stage.checks.text import unread
from tracegraph.stage.meaning.section import build
from tracegraph.stage.stage import Stage


def read(source: Source) -> Stage:
    """Return the section that a text describes.

    Nothing is raised: what could not be understood is left out and told in
    `stage.problems`, sorted by place, beside what is doubtful.
    """
    parsed = parse(source)
    stage, problems = build(parsed.statements)
    stage = replace(stage, source=source)
    told = (*parsed.problems, *problems)
    found = in_order((*told, *check(stage, unread(told, source))))
    return replace(stage, problems=found)


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return problems by place, each slip of a line that was copied only once."""
    once = {
        (problem.code, problem.span, problem.message): problem for problem in problems
    }
    return tuple(
        sorted(once.values(), key=lambda one: (one.span is None, one.span or (0, 0, 0)))
    )
