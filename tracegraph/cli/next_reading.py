"""`tracegraph next`: where to probe next, and what each display would mean."""

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.evidence import (
    advice_told,
    logs_argument,
    priors_option,
    readings_told,
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


@click.command(cls=FileCommand, name="next")
@file_argument
@logs_argument
@meter_option
@priors_option
@json_option
def command(
    file: str,
    logs: tuple[str, ...],
    meter: str | None,
    table: str | None,
    *,
    as_json: bool,
) -> int:
    """Say where to probe next on FILE's section, after the readings taken so far.

    The reading that is worth most for its trouble, what each display would mean, and
    what to lift where nothing in place tells more. Readings are those of the LOGs;
    without a LOG those in FILE. Without any reading it names the first.
    """
    stage = section_of(file)
    found = readings_told(stage, logs)
    advice = advice_told(found.stage, profile_told(meter, file), table)
    tell_left_out(stage)
    out = screen()
    if as_json:
        from tracegraph.views.record import as_json as json_text
        from tracegraph.views.suspects_record import next_record

        record = next_record(file, advice, found)
        out.say(json_text(record, ascii_only=out.ascii_only))
    else:
        from tracegraph.views.next_page import next_page

        out.show(next_page(found.stage, advice, cautions(stage)))
    return 1 if holds_errors(stage) or found.errors else 0
