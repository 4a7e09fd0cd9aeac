"""`tracegraph priors`: what fails how often, before any reading."""

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.evidence import priors_option, priors_told
from tracegraph.cli.options import FILE_TYPE, json_option
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out


@click.command(cls=FileCommand, name="priors")
@click.argument("file", required=False, type=FILE_TYPE)
@priors_option
@json_option
def command(file: str | None, table: str | None, *, as_json: bool) -> int:
    """Print the table of priors: rates, shares, raises and slips, with their sources.

    With a FILE only the kinds of its parts, and what is seen of them.
    """
    if file and file.lower().endswith(".toml"):
        raise Refusal(f"{file} is a table, no section: --priors {file}")
    stage = section_of(file) if file else None
    priors = priors_told(table)
    from tracegraph.views.priors_page import priors_page, priors_records

    if stage:
        tell_left_out(stage)
    out = screen()
    if as_json:
        from tracegraph.views.record import as_json as json_text
        from tracegraph.views.record import envelope

        problems = stage.problems if stage else ()
        record = envelope("priors", file, problems, priors_records(priors, stage))
        out.say(json_text(record, ascii_only=out.ascii_only))
    else:
        out.show(priors_page(priors, stage))
    return 1 if stage and holds_errors(stage) else 0
