"""A file that is no log of this section: one message, not one a line."""

from collections.abc import Iterable, Iterator

from tracegraph.asking.logbook.written import Written
from tracegraph.diagnostics import Problem, Severity, error
from tracegraph.notation.syntax import ReadingLine, Word
from tracegraph.stage.stage import Stage

_FEW = 3  # names that are asked about one by one
_NAMED = 3  # names that the message gives
_HINT = "Nothing of it is taken. Give the log of this section, or correct the names."


def strange(stage: Stage, written: Written) -> Problem | None:
    """Return why a file as a whole is no log of this section, or None."""
    return (
        _no_log(written) or _other_parts(stage, written) or _other_nets(stage, written)
    )


def _no_log(written: Written) -> Problem | None:
    """Return the problem of a text of which no line can be read."""
    wrong = {one.span.line for one in written.problems if one.span and _costs(one)}
    if written.statements or len(wrong) < _FEW:
        return None
    message = f"Not one of its {len(wrong)} lines is a reading: is this a log?"
    hint = "A reading is written like diode GATE COM 0.72, red probe first."
    return error("no-log", message, None, hint)


def _costs(problem: Problem) -> bool:
    return problem.severity is Severity.ERROR


def _other_parts(stage: Stage, written: Written) -> Problem | None:
    """Return the problem of a whole section that has hardly a part of this one."""
    refs = [part.ref.text for part in written.parts]
    known = [ref for ref in refs if stage.part(ref)]
    if not refs or 2 * len(known) >= len(refs):
        return None
    message = (
        f"This is a whole section, and {len(refs) - len(known)} of its {len(refs)} parts "
        "are not in this one: its log is a log of another section."
    )
    return error("another-section", message, None, _HINT)


def _other_nets(stage: Stage, written: Written) -> Problem | None:
    told = [one for one in written.statements if isinstance(one, ReadingLine)]
    names = dict.fromkeys(word.text for word in _probes(told))
    unknown = [name for name in names if not (stage.net(name) or stage.pin(name))]
    lost = [one for one in told if any(w.text in unknown for w in _probes([one]))]
    if (
        len(unknown) < _FEW
        or 2 * len(lost) <= len(told)
        or 2 * len(unknown) <= len(names)
    ):
        return None
    more = ", ..." if len(unknown) > _NAMED else ""
    message = (
        f"{len(lost)} of its {len(told)} readings touch nets that this section does not "
        f"have ({', '.join(unknown[:_NAMED])}{more}): a log of another section?"
    )
    return error("another-section", message, None, _HINT)


def _probes(told: Iterable[ReadingLine]) -> Iterator[Word]:
    return (word for one in told for word in (one.red, one.black))
