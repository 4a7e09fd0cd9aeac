"""`tracegraph wave`: what a scope shows at a net while an input switches."""

import sys
from typing import TYPE_CHECKING, Unpack

import click

from tracegraph.cli.bench_options import BenchOptions, bench_options, bench_told
from tracegraph.cli.command import FileCommand
from tracegraph.cli.complete import points
from tracegraph.cli.options import file_argument, json_option
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.cli.target import Target, target_of
from tracegraph.stage.caution import scope_cautions
from tracegraph.stage.reading import Condition
from tracegraph.stage.stage import Stage

if TYPE_CHECKING:
    from tracegraph.waves.result import Wave

PICTURES = (".svg", ".png", ".pdf")
LEAST, MOST = 2, 50


@click.command(cls=FileCommand, name="wave")
@file_argument
@click.option(
    "--at",
    "net",
    required=True,
    metavar="NET",
    shell_complete=points,
    help="Net or pin where the tip stands.",
)
@click.option(
    "-o",
    "--output",
    type=click.Path(allow_dash=True),
    metavar="PATH",
    help="Draw it, too: .svg, .png or .pdf, or - for standard output.",
)
@click.option(
    "--state", "power", metavar="STATE", help="How everything else stands meanwhile."
)
@click.option(
    "--periods",
    type=click.IntRange(LEAST, MOST),
    default=3,
    metavar="N",
    help="How many periods are shown (usual: 3).",
)
@bench_options
@json_option
def command(
    file: str,
    net: str,
    output: str | None,
    power: str | None,
    periods: int,
    *,
    as_json: bool,
    **bench: Unpack[BenchOptions],
) -> int:
    """Say what a scope shows at a net of FILE while its input switches.

    The input's line gives levels, frequency and duty: `input PWM 0V / 5V via 220R
    18kHz 45%`. With --without, --with or --lifted the healthy wave stands beside it.
    The board is live when this is measured: heed what stands in front.
    """
    stage = section_of(file)
    target = target_of(file, output, PICTURES) if output else None
    power = power or bench.pop("state", None)
    condition = bench_told(stage, bench)
    found = _wave(stage, net, power, condition, periods)
    tell_left_out(stage)
    files = _draw(stage, found, target) if target else None
    if as_json:
        _show_json(file, stage, found)
    elif files != []:
        _show(stage, found)
    return 1 if holds_errors(stage) else 0


def _wave(
    stage: Stage, at: str, power: str | None, condition: Condition, periods: int
) -> "Wave":
    """Return the wave, or refuse in words what cannot be answered."""
    from tracegraph.nearest import did_you_mean
    from tracegraph.stage.alter import ChangeError
    from tracegraph.stage.state import StateError, find_state
    from tracegraph.waves.result import WaveError
    from tracegraph.waves.wave import wave

    net = stage.net(at)
    if net is None:
        raise Refusal(f"there is no net or pin {at}{did_you_mean(at, stage.nets)}")
    try:
        if power:
            condition = condition._replace(power=find_state(stage, power).name)
        return wave(stage, net, condition, periods=periods)
    except (ChangeError, StateError, WaveError) as wrong:
        raise Refusal(str(wrong)) from None


def _draw(stage: Stage, found: "Wave", target: Target) -> list[object]:
    """Write the picture and return the files: none where it went to standard output."""
    from tracegraph.views.drawn_page import drawn_page
    from tracegraph.views.png import NoPngError
    from tracegraph.views.wave_sheet import wave_pictures

    try:
        pages = wave_pictures(stage.title, found, target.ending)
    except NoPngError as missing:
        raise Refusal(str(missing)) from None
    files = target.write(pages)
    page = drawn_page(files, ())
    if page:
        screen(sys.stderr).show(page)
    return list(files)


def _show(stage: Stage, found: "Wave") -> None:
    from tracegraph.views.wave_page import wave_page

    heed = scope_cautions(stage, found.against)
    screen().show(wave_page(stage.title, found, heed))


def _show_json(file: str, stage: Stage, found: "Wave") -> None:
    from tracegraph.views.record import as_json, envelope
    from tracegraph.views.wave_record import wave_record

    out = screen()
    told = envelope("wave", file, stage.problems, [wave_record(found)])
    record = {**told, "cautions": list(scope_cautions(stage, found.against))}
    out.say(as_json(record, ascii_only=out.ascii_only))
