"""`tracegraph suspects`: which part it is, by the readings."""

from typing import TYPE_CHECKING

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.evidence import (
    logs_argument,
    priors_option,
    readings_told,
    verdict_told,
)
from tracegraph.cli.options import (
    file_argument,
    json_option,
    meter_option,
    profile_told,
)
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.stage.caution import cautions

if TYPE_CHECKING:
    from tracegraph.asking.logbook.logs import Logged
    from tracegraph.diagnose.verdict import Verdict


@click.command(cls=FileCommand, name="suspects")
@file_argument
@logs_argument
@click.option(
    "--all", "every", is_flag=True, help="Tell also what is only counted otherwise."
)
@meter_option
@priors_option
@json_option
def command(
    file: str,
    logs: tuple[str, ...],
    meter: str | None,
    table: str | None,
    *,
    every: bool,
    as_json: bool,
) -> int:
    """Say which part it is, or whether FILE's tracing is wrong, by the readings.

    The readings are those of the LOGs: lines of the notation, or a table (CSV) such as
    a filled-in sheet. Without a LOG they are those in FILE. Exit code 0 for a faulty
    board, too.
    """
    stage = section_of(file)
    found = readings_told(stage, logs)
    verdict = verdict_told(found.stage, profile_told(meter, file), table)
    tell_left_out(stage)
    if as_json:
        _show_json(file, found, verdict)
    else:
        _show(found, verdict, every=every)
    return 1 if holds_errors(stage) or found.errors else 0


def _show(found: "Logged", verdict: "Verdict", *, every: bool) -> None:
    from tracegraph.views.suspects_page import suspects_page

    heading = found.stage.title or "The section"
    screen().show(suspects_page(heading, verdict, cautions(found.stage), every=every))


def _show_json(file: str, found: "Logged", verdict: "Verdict") -> None:
    from tracegraph.views.record import as_json
    from tracegraph.views.suspects_record import suspects_record

    out = screen()
    record = suspects_record(file, verdict, found)
    out.say(as_json(record, ascii_only=out.ascii_only))
