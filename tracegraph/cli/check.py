"""`tracegraph check`: what was understood of a file, and every doubt."""

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.options import file_argument, json_option
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of
from tracegraph.meter.unknowns.every import unknowns
from tracegraph.meter.unknowns.rests import rests_asked
from tracegraph.stage.caution import cautions
from tracegraph.stage.islands import islands
from tracegraph.stage.stage import Stage
from tracegraph.views.section_page import Section, section_page


@click.command(cls=FileCommand, name="check")
@file_argument
@json_option
def command(file: str, *, as_json: bool) -> int:
    """Say what was understood of FILE, and every doubt.

    What should be measured first stands on top. Exit code 1 if a line could not be
    understood; doubts alone are no failure.
    """
    stage = section_of(file)
    section = _section(stage)
    out = screen()
    if as_json:
        from tracegraph.views.record import as_json as json_text
        from tracegraph.views.record import envelope
        from tracegraph.views.section_record import section_record

        record = envelope("check", file, stage.problems, [section_record(section)])
        out.say(json_text(record, ascii_only=out.ascii_only))
    else:
        out.show(section_page(section))
    return 1 if holds_errors(stage) else 0


def _section(stage: Stage) -> Section:
    from tracegraph.views.problems import problem_text

    source = stage.source
    told = [problem_text(one, source) for one in stage.problems] if source else []
    return Section(
        stage,
        cautions(stage),
        rests_asked(stage),
        unknowns(stage),
        islands(stage),
        told,
    )
