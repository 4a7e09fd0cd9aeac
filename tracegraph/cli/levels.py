"""`tracegraph levels`: what stands at every net when the board is powered."""

from typing import TYPE_CHECKING, Unpack

import click

from tracegraph.cli.bench_options import BenchOptions, bench_options, bench_told
from tracegraph.cli.command import FileCommand
from tracegraph.cli.options import (
    file_argument,
    json_option,
    meter_option,
    profile_told,
)
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.stage.caution import volts_cautions
from tracegraph.stage.stage import Stage

if TYPE_CHECKING:
    from tracegraph.levels.levels import Levels
    from tracegraph.meter.profile import Profile


@click.command(cls=FileCommand, name="levels")
@file_argument
@click.option("--state", "power", metavar="STATE", help="Only this declared state.")
@meter_option
@bench_options
@json_option
def command(
    file: str,
    power: str | None,
    meter: str | None,
    *,
    as_json: bool,
    **bench: Unpack[BenchOptions],
) -> int:
    """Say what stands at every net of FILE's section when it is powered, and why.

    Each declared state is told, or every combination of the inputs where none is
    declared. The levels are a healthy board's, as a meter shows them. The board is
    live when they are measured: heed what stands in front.
    """
    stage = section_of(file)
    power = power or bench.pop("state", None)
    profile = profile_told(meter, file)
    found = levels_told(on_bench_told(stage, bench), profile, power)
    tell_left_out(stage)
    if as_json:
        _show_json(file, found)
    else:
        _show(stage, found)
    return 1 if holds_errors(stage) else 0


def on_bench_told(stage: Stage, bench: BenchOptions) -> Stage:
    """Return the section as the options say that it stands."""
    from tracegraph.stage.alter import ChangeError
    from tracegraph.stage.state import on_bench

    try:
        return on_bench(stage, bench_told(stage, bench))
    except ChangeError as wrong:
        raise Refusal(str(wrong)) from None


def levels_told(stage: Stage, profile: "Profile", power: str | None) -> "Levels":
    """Return the levels, or refuse in words a state that is not declared."""
    # Only now: help, completion and a wrong file shall not wait for the solver.
    from tracegraph.levels.levels import levels
    from tracegraph.stage.state import StateError

    try:
        return levels(stage, profile, power)
    except StateError as wrong:
        raise Refusal(str(wrong)) from None


def _show(stage: Stage, found: "Levels") -> None:
    from tracegraph.powerup.link.find import dc_link
    from tracegraph.views.levels_page import levels_page
    from tracegraph.views.link_page import link_blocks

    heading, more = stage.title or "Levels", link_blocks(dc_link(stage))
    screen().show(levels_page(heading, found, volts_cautions(stage), more))


def _show_json(file: str, found: "Levels") -> None:
    from tracegraph.powerup.link.find import dc_link
    from tracegraph.views.levels_record import levels_record
    from tracegraph.views.link_record import link_records
    from tracegraph.views.record import as_json

    out = screen()
    record = {
        **levels_record(file, found),
        "links": link_records(dc_link(found.stage)),
        "cautions": list(volts_cautions(found.stage)),
    }
    out.say(as_json(record, ascii_only=out.ascii_only))
