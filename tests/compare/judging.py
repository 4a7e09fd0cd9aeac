"""Whether a comparison told what was done to a section, and nothing else."""

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from tests.compare.looks import same_board, seen
from tests.compare.mutations import Mutated
from tracegraph.compare.compare import compare
from tracegraph.compare.comparison import Comparison, Difference, DifferenceKind
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change
from tracegraph.stage.stage import Stage

SILENT = {DifferenceKind.MISREAD, DifferenceKind.UNKNOWN}


class Verdict(NamedTuple):
    """How a comparison did.

    Attributes:
        found: Whether it told every alteration and nothing else, or a tie does.
        first: Whether it told so without looking at ties.
        shorter: Whether it found fewer steps than were made, and they do lead there.
        ties: Other explanations that it told.
    """

    found: bool
    first: bool
    shorter: bool
    ties: int
    comparison: Comparison


def judged(reference: Stage, mutant: Mutated, traced: Stage) -> Verdict:
    """Return how a comparison of the altered section with its reference does."""
    comparison = compare(traced, reference)
    known = [part.ref for part in reference.parts]
    truth = Counter(seen(apply(reference, one), known) for one in mutant.done)
    told = [
        Counter(seen(apply(reference, one.changes), known) for one in _loud(each))
        for each in (comparison.differences, *comparison.ties)
    ]
    loud = _loud(comparison.differences)
    fewer = len(loud) < len(mutant.done)
    shorter = fewer and same_board(apply(reference, steps_of(loud)), traced)
    found = truth in told and comparison.same_section
    return Verdict(
        found or shorter, truth == told[0], shorter, len(comparison.ties), comparison
    )


def steps_of(differences: Iterable[Difference]) -> list[Change]:
    """Return all changes of an explanation."""
    return [change for one in differences for change in one.changes]


def _loud(differences: Iterable[Difference]) -> list[Difference]:
    return [one for one in differences if one.kind not in SILENT]
