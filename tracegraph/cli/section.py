"""The file that a command speaks of: read once, its errors told on standard error."""

import sys
from functools import cache
from pathlib import Path

from tracegraph.asking.sources import UnreadableError, checked_source, source_of
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.diagnostics import Severity
from tracegraph.nearest import did_you_mean
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

STANDARD_INPUT = "-"


@cache
def section_of(file: str) -> Stage:
    """Return the section that a file describes; `-` is standard input.

    Raises:
        Refusal: The file is not there, or holds no text.
    """
    try:
        if file == STANDARD_INPUT:
            return read(checked_source("standard input", sys.stdin.buffer.read()))
        return read(source_of(Path(file)))
    except UnreadableError as fault:
        raise Refusal(f"{fault}{_meant(Path(file))}") from None


def _meant(path: Path) -> str:
    """Return a question after a file that was probably meant."""
    if path.exists() or not path.parent.is_dir():
        return ""
    return did_you_mean(path.name, (one.name for one in path.parent.glob("*.trace")))


def holds_errors(stage: Stage) -> bool:
    """Return whether a line of the file could not be understood."""
    return any(one.severity is Severity.ERROR for one in stage.problems)


def tell_left_out(stage: Stage) -> None:
    """Say on standard error which lines an answer leaves out, each with its message."""
    if stage.source is None or not holds_errors(stage):
        return
    from tracegraph.views.problems import left_out, problems_text

    errors = [one for one in stage.problems if one.severity is Severity.ERROR]
    text = f"{left_out(errors)}\n{problems_text(errors, stage.source)}\n\n"
    screen(sys.stderr).say(text)
