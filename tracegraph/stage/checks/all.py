"""Every check of a section, in one list."""

from collections.abc import Callable, Iterable

from tracegraph.diagnostics import Problem
from tracegraph.stage.checks.islands import islands
from tracegraph.stage.checks.nets import (
    both_ends,
    lonely_nets,
    rails_without_rest,
    unused_nets,
)
from tracegraph.stage.checks.polarity import against_rails, swapped_pinouts
from tracegraph.stage.checks.readings import contradicting_readings
from tracegraph.stage.checks.text import Unread
from tracegraph.stage.stage import Stage

CHECKS: tuple[Callable[[Stage, Unread], Iterable[Problem]], ...] = (
    lonely_nets,
    unused_nets,
    both_ends,
    islands,
    against_rails,
    swapped_pinouts,
    rails_without_rest,
    contradicting_readings,
)


def check(stage: Stage, left_out: Unread) -> tuple[Problem, ...]:
    """Return the doubts that only the whole section shows."""
    return tuple(problem for one in CHECKS for problem in one(stage, left_out))
