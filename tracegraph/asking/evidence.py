"""The readings that a diagnosis is asked of: those of logs, or the section's own."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from tracegraph.asking.logbook.logs import Logged, with_logs
from tracegraph.stage.reading import Event
from tracegraph.stage.stage import Stage


def judged(stage: Stage, logs: Sequence[Path] = ()) -> Logged:
    """Return the section with the readings to judge it by.

    With logs their readings count and those of the section's own file do not: they may
    be of a healthy board, or of another day. What was done to the board counts. Name the
    section's file among the logs to have its readings counted, too.

    Args:
        stage: The section.
        logs: Files of readings, in the order in which they were taken.

    Raises:
        UnreadableError: A log is not there, or holds no text.
    """
    if not logs:
        return Logged(stage, homes=(None,) * len(stage.log))
    if not any(_is_own(stage, path) for path in logs):
        done = tuple(entry for entry in stage.log if isinstance(entry, Event))
        stage = replace(stage, log=done)
    return with_logs(stage, logs)


def _is_own(stage: Stage, path: Path) -> bool:
    """Return whether a path is that of the section's own file."""
    own = Path(stage.source.name) if stage.source else None
    return bool(own and path.exists() and own.exists() and path.samefile(own))
