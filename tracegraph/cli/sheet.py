"""`tracegraph sheet`: the readings worth taking, as a table to print."""

from collections.abc import Sequence
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
from tracegraph.stage.alter import ChangeError
from tracegraph.stage.caution import cautions
from tracegraph.stage.stage import Stage

if TYPE_CHECKING:
    from tracegraph.meter.sheet import SheetRow


@click.command(cls=FileCommand, name="sheet")
@file_argument
@click.option(
    "--short",
    type=click.IntRange(min=1),
    metavar="N",
    help="Only the N most telling rows.",
)
@click.option("--all", "every", is_flag=True, help="Every pair of nets, every mode.")
@click.option("--csv", "as_csv", is_flag=True, help="One row a reading, to fill in.")
@meter_option
@bench_options
@json_option
def command(
    file: str,
    meter: str | None,
    *,
    short: int | None,
    every: bool,
    as_csv: bool,
    as_json: bool,
    **bench: Unpack[BenchOptions],
) -> int:
    """Write the readings worth taking on FILE's section, board cold.

    What hangs on the rails comes first; then the pairs that tell most. Each row has a
    pair, both directions side by side, and boxes to write in.
    """
    if as_csv and as_json:
        raise Refusal("--csv and --json: choose one")
    stage = section_of(file)
    # Only now: help, completion and a wrong file shall not wait for the solver.
    from tracegraph.meter.sheet import sheet

    profile = profile_told(meter, file)
    condition = bench_told(stage, bench)
    try:
        rows = sheet(stage, profile, condition, short=short, every=every)
    except ChangeError as wrong:
        raise Refusal(str(wrong)) from None
    tell_left_out(stage)
    if as_csv:
        _show_csv(rows)
    elif as_json:
        _show_json(rows)
    else:
        _show(stage, rows)
    return 1 if holds_errors(stage) else 0


def _show(stage: Stage, rows: "Sequence[SheetRow]") -> None:
    from tracegraph.views.sheet_page import sheet_page

    screen().show(sheet_page(stage.title or "Sheet", rows, cautions(stage)))


def _show_csv(rows: "Sequence[SheetRow]") -> None:
    from tracegraph.views.sheet_csv import sheet_csv

    screen().say(sheet_csv(rows))


def _show_json(rows: "Sequence[SheetRow]") -> None:
    from tracegraph.views.record import as_json, expected_record

    records = [
        {**expected_record(one), "for": row.why}
        for row in rows
        for one in (row.forward, row.backward)
    ]
    out = screen()
    out.say(as_json(records, ascii_only=out.ascii_only))
