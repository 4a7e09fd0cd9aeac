"""`tracegraph plan`: in which order to power up, and when to stop."""

from typing import TYPE_CHECKING

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.options import (
    file_argument,
    json_option,
    meter_option,
    profile_told,
)
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out

if TYPE_CHECKING:
    from tracegraph.powerup.record import Plan
    from tracegraph.stage.stage import Stage


@click.command(cls=FileCommand, name="plan")
@file_argument
@meter_option
@json_option
def command(file: str, meter: str | None, *, as_json: bool) -> int:
    """Say in which order FILE's section is powered up, and when to stop.

    Cautions first; then look and ohms, the power device out, a supply with its limit,
    the control supplies alone, the drive, the link at low volts, the device in, all of
    it. Steps that do not apply are left out. Who may work on a live board is for your
    local rules and your licence to say.
    """
    stage = section_of(file)
    # Only now: help, completion and a wrong file shall not wait for the solver.
    from tracegraph.powerup.plan import plan

    found = plan(stage, profile_told(meter, file))
    tell_left_out(stage)
    if as_json:
        _show_json(file, stage, found)
    else:
        _show(found)
    return 1 if holds_errors(stage) else 0


def _show(found: "Plan") -> None:
    from tracegraph.views.plan_page import plan_page

    screen().show(plan_page(found))


def _show_json(file: str, stage: "Stage", found: "Plan") -> None:
    from tracegraph.views.plan_record import plan_record
    from tracegraph.views.record import as_json

    out = screen()
    record = plan_record(file, found, stage.problems)
    out.say(as_json(record, ascii_only=out.ascii_only))
