"""The readings of other files, added to the log of a section."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from tracegraph.asking.logbook.files import (
    LogText,
    after_power_cut,
    log_text,
    readable,
)
from tracegraph.asking.logbook.headings import in_their_channel, with_meters
from tracegraph.asking.logbook.lines import read_lines
from tracegraph.asking.logbook.strange import strange
from tracegraph.asking.logbook.table import is_table, read_table
from tracegraph.asking.logbook.written import Written
from tracegraph.diagnostics import Label, Problem, Severity, doubt
from tracegraph.notation.source import Source
from tracegraph.stage.checks.readings import HINT, Clash, contradictions
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.lines import in_channels
from tracegraph.stage.meaning.log import read_log
from tracegraph.stage.meaning.taken_back import without_taken_back
from tracegraph.stage.read import in_order
from tracegraph.stage.reading import Block, LogEntry
from tracegraph.stage.stage import Stage


class Told(NamedTuple):
    """What the reader of a log should know.

    Attributes:
        source: Its text, which the problems' places lie in.
        problems: Errors and doubts, by place.
    """

    source: Source
    problems: tuple[Problem, ...]


class Logged(NamedTuple):
    """A section with the readings of its logs.

    Attributes:
        stage: The section; its log has what stood in its own file first.
        told: Each log with what is wrong or doubtful in it, in the order given.
        homes: For every entry of the section's log the text that it stands in; None
            is the section's own.
    """

    stage: Stage
    told: tuple[Told, ...] = ()
    homes: tuple[Source | None, ...] = ()

    @property
    def errors(self) -> bool:
        """Whether a line of a log could not be understood."""
        found = (one for told in self.told for one in told.problems)
        return any(one.severity is Severity.ERROR for one in found)


def with_logs(stage: Stage, paths: Iterable[Path]) -> Logged:
    """Return the section with the readings of other files behind its own.

    A log is a `.trace` of readings and events, a table (CSV) with columns red, black,
    mode and reading, or a whole section of which the log is taken. A file that is
    given twice, and the section's own file, are read once.

    Args:
        stage: The section.
        paths: Files, in the order in which the readings were taken.

    Raises:
        UnreadableError: A file is not there, or holds no text.
    """
    seen = {_same(Path(stage.source.name))} if stage.source else set[str]()
    once: list[Path] = []
    for path in paths:
        if _same(path) not in seen:
            once.append(path)
        seen.add(_same(path))
    return with_texts(stage, [log_text(path) for path in once])


def _same(path: Path) -> str:
    try:
        return str(path.resolve())
    except (OSError, ValueError):
        return str(path)


def with_texts(stage: Stage, texts: Iterable[LogText]) -> Logged:
    """Return the section with the readings of these texts behind its own."""
    homes: list[Source | None] = [None] * len(stage.log)
    found: list[tuple[LogText, tuple[LogEntry, ...], tuple[Problem, ...]]] = []
    for text in texts:
        entries, problems = _understood(stage, text)
        found.append((text, entries, problems))
        homes += [text.source] * len(entries)
    added = tuple(entry for _, entries, _ in found for entry in entries)
    whole = replace(stage, log=(*stage.log, *added))
    logged = Logged(whole, homes=tuple(homes))
    clashes = list(_clashes(logged))
    told = (
        Told(
            text.source,
            in_order((*problems, *(p for s, p in clashes if s is text.source))),
        )
        for text, _, problems in found
    )
    return logged._replace(told=tuple(told))


def _understood(
    stage: Stage, text: LogText
) -> tuple[tuple[LogEntry, ...], tuple[Problem, ...]]:
    """Return what one log says of a section, and what is wrong with it."""
    source = readable(text)
    written = read_table(source) if is_table(source) else read_lines(source)
    other = strange(stage, written)
    if other:
        return (), (other,)
    entries, problems = meant(stage, written)
    return entries, after_power_cut(text, (*written.problems, *problems))


def meant(
    stage: Stage, written: Written
) -> tuple[tuple[LogEntry, ...], tuple[Problem, ...]]:
    """Return what the lines of a log say of a section, and what is wrong with them."""
    desk = Desk()
    kept = without_taken_back(desk, in_channels(written.statements))
    named = in_their_channel(desk, stage, kept)
    entries = read_log(desk, stage, in_channels(with_meters(named)))
    return entries, tuple(desk.problems)


def _clashes(logged: Logged) -> Iterator[tuple[Source, Problem]]:
    """Yield a doubt for every reading of a log that contradicts one before it."""
    home = {
        id(reading): source
        for entry, source in zip(logged.stage.log, logged.homes, strict=True)
        for reading in (entry.readings if isinstance(entry, Block) else ())
    }
    for clash in contradictions(logged.stage):
        source = home[id(clash.second)]
        if source is not None:
            yield source, _clash(logged.stage, clash, home[id(clash.first)], source)


def _clash(stage: Stage, clash: Clash, first: Source | None, source: Source) -> Problem:
    told = doubt("readings-differ", clash.message, clash.second.source, HINT)
    place = clash.first.source
    if first is source and place:
        return told._replace(related=(Label(place, "the other one"),))
    home = first or stage.source
    where = (
        f"{home.name}, line {place.line}" if home and place else "the section's file"
    )
    return told._replace(hint=f"The other one stands in {where}. {HINT}")
