"""What a diagnosis is asked of: the section, its readings, the meter, the priors."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tracegraph.asking.sources import UnreadableError
from tracegraph.cli.options import FILE_TYPE
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.nearest import did_you_mean
from tracegraph.stage.stage import Stage

if TYPE_CHECKING:
    from tracegraph.asking.logbook.logs import Logged
    from tracegraph.diagnose.priors import Priors
    from tracegraph.diagnose.verdict import Advice, Verdict
    from tracegraph.meter.profile import Profile

logs_argument = click.argument("logs", nargs=-1, type=FILE_TYPE, metavar="[LOG]...")
priors_option = click.option(
    "--priors",
    "table",
    type=FILE_TYPE,
    metavar="TABLE",
    help="Your own figures of what fails how often (see `tracegraph priors`).",
)


def readings_told(stage: Stage, logs: Sequence[str]) -> "Logged":
    """Return the section with the readings to judge it by; say what is odd in a log.

    Raises:
        Refusal: A log is not there, or holds no text.
    """
    from tracegraph.asking.evidence import judged

    try:
        found = judged(stage, [Path(log) for log in logs])
    except UnreadableError as fault:
        raise Refusal(f"{fault}{_meant(logs)}") from None
    _tell(found)
    return found


def _meant(logs: Sequence[str]) -> str:
    """Return a question after a log that was probably meant."""
    lost = next((path for path in map(Path, logs) if not path.exists()), None)
    if lost is None or not lost.parent.is_dir():
        return ""
    return did_you_mean(lost.name, (one.name for one in lost.parent.iterdir()))


def _tell(found: "Logged") -> None:
    """Say on standard error what a log's lines leave in doubt or out."""
    from tracegraph.views.problems import left_out, problems_text

    err = screen(sys.stderr)
    for source, problems in found.told:
        if problems:
            lost = left_out(problems)
            head = f"{source.name}: {lost}\n" if lost else ""
            err.say(f"{head}{problems_text(problems, source)}\n\n")


def verdict_told(
    stage: Stage, profile: "Profile", table: str | None = None
) -> "Verdict":
    """Return the diagnosis of a section by its log.

    Raises:
        Refusal: The section cannot be worked out, or the table of priors not read.
    """
    # Only now: help, completion and a wrong file shall not wait for the solver.
    from tracegraph.asking.diagnosing import diagnosed
    from tracegraph.network.circuit import UnknownValueError

    try:
        return diagnosed(stage, profile, priors_told(table))
    except UnknownValueError as unknown:
        raise Refusal(str(unknown)) from None


def advice_told(stage: Stage, profile: "Profile", table: str | None = None) -> "Advice":
    """Return where to probe next, after a section's log.

    Raises:
        Refusal: The section cannot be worked out, or the table of priors not read.
    """
    from tracegraph.asking.diagnosing import advised
    from tracegraph.network.circuit import UnknownValueError

    try:
        return advised(stage, profile, priors_told(table))
    except UnknownValueError as unknown:
        raise Refusal(str(unknown)) from None


def priors_told(table: str | None) -> "Priors":
    """Return the table of priors, with the user's own figures in it.

    Raises:
        Refusal: The user's table cannot be read.
    """
    from tracegraph.diagnose.priors import PriorsError, priors_from, usual

    try:
        return priors_from(Path(table)) if table else usual()
    except PriorsError as wrong:
        raise Refusal(str(wrong)) from None
