"""`tracegraph expect`: what a healthy section reads between two points."""

from collections.abc import Sequence
from typing import Unpack

import click

from tracegraph.cli.command import FileCommand, choice
from tracegraph.cli.complete import points
from tracegraph.cli.options import (
    BenchOptions,
    bench_options,
    bench_told,
    file_argument,
    json_option,
    meter_option,
    profile_told,
)
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.meter.expect import Probe, UnknownPointError, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.probing import PointError, pair_probes, part_probes, parts_called
from tracegraph.stage.alter import ChangeError
from tracegraph.stage.caution import cautions
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage

COLD_MODES = [mode.value for mode in Mode if mode is not Mode.VOLTS]


@click.command(cls=FileCommand, name="expect")
@file_argument
@click.argument("red", shell_complete=points)
@click.argument("black", required=False, shell_complete=points)
@click.option(
    "--mode",
    **choice("mode", COLD_MODES),
    help="One mode, red on RED. If left out: every mode, both ways round.",
)
@meter_option
@bench_options
@json_option
def command(
    file: str,
    red: str,
    black: str | None,
    mode: str | None,
    meter: str,
    *,
    as_json: bool,
    **bench: Unpack[BenchOptions],
) -> int:
    """Say what a healthy section reads between RED and BLACK, board cold.

    RED and BLACK are nets or pins (GATE, Q11.b). With a part alone (Q11): every
    reading over its own pins, and what a pass does not prove. A net that begins with
    a dash may stand as it is, or after `--`.
    """
    stage = section_of(file)
    profile = profile_told(meter, file)
    condition = bench_told(stage, bench)
    wanted = Mode(mode) if mode else None
    try:
        parts = () if black else parts_called(stage, red)
        probes = (
            pair_probes(stage, red, black, wanted, profile)
            if black
            else part_probes(stage, parts, wanted, profile)
        )
        answers = _answers(stage, probes, profile, condition)
    except (PointError, UnknownPointError, ChangeError) as wrong:
        raise Refusal(str(wrong)) from None
    tell_left_out(stage)
    if as_json:
        _show_json(answers)
    else:
        _show(stage, parts, answers)
    return 1 if holds_errors(stage) else 0


def _answers(
    stage: Stage, probes: Sequence[Probe], profile: Profile, condition: Condition
) -> tuple[Expected, ...]:
    if not probes:
        raise PointError("all pins of this part are on one net: there is no pair")
    return expect(stage, probes, profile, condition)


def _show(stage: Stage, parts: Sequence[Part], answers: Sequence[Expected]) -> None:
    from tracegraph.views.expected_page import expected_page
    from tracegraph.views.part_page import part_page

    heed = cautions(stage)
    page = (
        part_page(parts, answers, heed)
        if parts
        else expected_page(stage.title, answers, heed)
    )
    screen().show(page)


def _show_json(answers: Sequence[Expected]) -> None:
    from tracegraph.views.record import as_json, expected_record

    out = screen()
    records = [expected_record(one) for one in answers]
    out.say(as_json(records, ascii_only=out.ascii_only))
