"""Text to statements and problems: a bad line costs that line only."""

from collections.abc import Iterator
from typing import NamedTuple

from lark.exceptions import UnexpectedInput

from tracegraph.diagnostics import Problem, Span
from tracegraph.notation.channels import Outcome, balanced
from tracegraph.notation.lines import Line, line_of, slip, written
from tracegraph.notation.mistakes.slips import slips
from tracegraph.notation.mistakes.usage import RANGES, USAGE
from tracegraph.notation.source import Source
from tracegraph.notation.statements import ranges, statement
from tracegraph.notation.syntax import MeterLine, RangeLine, Statement, Tail
from tracegraph.notation.tails import tail
from tracegraph.notation.words import Branches, branches


class Parsed(NamedTuple):
    """What a text says, and what is wrong with it; a wrong line is left out."""

    statements: tuple[Statement, ...]
    problems: tuple[Problem, ...]


def parse(source: Source) -> Parsed:
    r"""Return the statements of a text in order, and all that is wrong with it.

    >>> from tracegraph.notation.source import from_text
    >>> found = parse(from_text("a.trace", "ground COM\nrail P12\n"))
    >>> [type(line).__name__ for line in found.statements]
    ['GroundLine']
    >>> [problem.message for problem in found.problems]
    ['a rail needs its voltage']
    """
    outcomes = tuple(balanced(_outcomes(source)))
    return Parsed(
        tuple(one for one in outcomes if not isinstance(one, Problem)),
        tuple(one for one in outcomes if isinstance(one, Problem)),
    )


def parse_tail(
    text: str, place: Span | None = None
) -> tuple[Tail, tuple[Problem, ...]]:
    """Return the bench's condition that a text names, such as `without Q13 in run`.

    Args:
        text: The words.
        place: Where they begin in the text that they are taken from.
    """
    before = " " * (place.column - 1) if place else ""
    line = line_of(before + " ".join(text.splitlines()), place.line if place else 1)
    if not line.plain.strip():
        return Tail(), ()
    tree = _tree(line, "tail")
    if isinstance(tree, Problem):
        return Tail(), (tree,)
    return tail(tree), ()


def _outcomes(source: Source) -> Iterator[tuple[Line, Outcome]]:
    """Yield for every line its statement, or what is wrong with it."""
    in_meter = False
    for line in written(source):
        first = line.plain.split()[0]
        ranged = in_meter and first in RANGES
        outcome = _range(line) if ranged else _statement(line)
        if isinstance(outcome, Problem):  # what could not be read ends no meter
            in_meter = ranged or first == "meter" or (in_meter and first not in USAGE)
        else:
            in_meter = isinstance(outcome, MeterLine | RangeLine)
        yield line, outcome


def _statement(line: Line) -> Outcome:
    tree = _tree(line, "line")
    if isinstance(tree, Problem):
        return tree
    return statement(tree) or _explained(line, None, "line")


def _range(line: Line) -> Outcome:
    tree = _tree(line, "range")
    return tree if isinstance(tree, Problem) else ranges(tree)


def _tree(line: Line, start: str) -> Branches | Problem:
    """Return what the grammar reads in a line, or what is wrong with the line."""
    wrong = slip(line)
    if wrong:
        return wrong
    try:
        tree = branches(line, start)
    except UnexpectedInput as fault:
        return _explained(line, fault, start)
    return slips(tree) or tree


def _explained(line: Line, fault: UnexpectedInput | None, start: str) -> Problem:
    """Return what is wrong with a line; a text without faults never pays for this."""
    from tracegraph.notation.mistakes.explain import explain, explain_opening
    from tracegraph.notation.mistakes.stops import stop_of

    return (
        explain(line, stop_of(line, fault), start) if fault else explain_opening(line)
    )
