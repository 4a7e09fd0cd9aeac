"""`tracegraph draw`: the section as a picture."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.evidence import logs_argument, readings_told, verdict_told
from tracegraph.cli.options import FILE_TYPE, file_argument, meter_option, profile_told
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.cli.target import STANDARD, Target, target_of
from tracegraph.draw.dot import DotError, NoDotError, picture
from tracegraph.stage.caution import cautions
from tracegraph.stage.stage import Stage

if TYPE_CHECKING:
    from tracegraph.diagnose.verdict import Verdict
    from tracegraph.draw.drawing import Drawing
    from tracegraph.levels.levels import Levels
    from tracegraph.meter.profile import Profile

PICTURES = (".svg", ".png", ".pdf")
GRAPHS = (".dot", ".gv", ".svg")


class Wishes(TypedDict):
    """What was asked for: each an option of its own."""

    readings: bool
    suspects: bool
    state: str | None
    reference: str | None
    sister: str | None
    dark: bool
    look: bool
    graph: bool


@click.command(cls=FileCommand, name="draw")
@file_argument
@logs_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(allow_dash=True),
    metavar="PATH",
    help="Where to: .svg, .png or .pdf, or - (usual: FILE's name, here, as .svg).",
)
@click.option(
    "--readings", is_flag=True, help="Expected ohms and diode to ground at each net."
)
@click.option(
    "--compare",
    "reference",
    type=FILE_TYPE,
    metavar="REFERENCE",
    help="Mark what differs from this known-good section.",
)
@click.option("--with", "sister", metavar="U", help="Of REFERENCE only this channel.")
@click.option(
    "--suspects",
    is_flag=True,
    help="Mark what may be wrong, by the readings of LOG or else of FILE.",
)
@click.option(
    "--levels",
    "state",
    metavar="STATE",
    help="Levels at each net when powered in this state.",
)
@click.option("--dark", is_flag=True, help="On a dark ground.")
@click.option("--open", "look", is_flag=True, help="Show it when it is written.")
@click.option(
    "--graph", is_flag=True, help="Just parts and nets as a graph: .dot, or .svg."
)
@meter_option
def command(
    file: str,
    logs: tuple[str, ...],
    output: str | None,
    meter: str | None,
    **wish: Unpack[Wishes],
) -> int:
    """Draw FILE's section: rails above, ground below, signals from left to right.

    A large section takes several sheets: a file each, or the pages of one PDF.
    A LOG holds the readings for --suspects.
    """
    _refuse_mixtures(meter, logs, wish)
    stage = section_of(file)
    if wish["graph"]:
        target = target_of(file, output or STANDARD, GRAPHS)
    else:
        target = target_of(file, output, PICTURES)
    if wish["look"] and target.path is None:
        raise Refusal("--open needs a file: name one with -o")
    profile = profile_told(meter, file) if wish["readings"] else None
    verdict = _verdict(stage, file, logs, meter) if wish["suspects"] else None
    try:
        if wish["graph"]:
            pages = _graph(stage, target)
        else:
            reference = _reference(wish["reference"], wish["sister"])
            levels = _levels(stage, meter, file, wish["state"])
            drawn = _drawn(stage, profile, reference, verdict, levels)
            pages = _pictures(drawn, target, dark=wish["dark"])
    except (NoDotError, DotError) as fault:
        raise Refusal(str(fault)) from None
    files = target.write(pages)
    tell_left_out(stage)
    _tell(stage, files)
    if wish["look"]:
        _open(files)
    return 1 if holds_errors(stage) else 0


def _refuse_mixtures(meter: str | None, logs: Sequence[str], wish: Wishes) -> None:
    layers = any((wish["readings"], wish["reference"], wish["suspects"], wish["state"]))
    if wish["graph"] and (layers or wish["dark"]):
        raise Refusal(
            "--graph is plain: leave --readings, --compare, --suspects, --levels and "
            "--dark out"
        )
    if logs and not wish["suspects"]:
        raise Refusal(f"{logs[0]} holds readings for --suspects: add it")
    if wish["sister"] and not wish["reference"]:
        raise Refusal("--with names a channel of --compare REFERENCE: add it")
    if meter and not (wish["readings"] or wish["suspects"] or wish["state"]):
        raise Refusal(
            "--meter is for --readings, --suspects and --levels: add one, or leave "
            "--meter out"
        )


def _reference(file: str | None, channel: str | None) -> Stage | None:
    """Return the known-good section, or one channel of it."""
    if file is None:
        return None
    from tracegraph.cli.compare import channel_told

    reference = section_of(file)
    tell_left_out(reference)
    return channel_told(reference, channel)


def _verdict(
    stage: Stage, file: str, logs: Sequence[str], meter: str | None
) -> "Verdict":
    """Return the diagnosis by the readings of logs, or of the file."""
    found = readings_told(stage, logs)
    return verdict_told(found.stage, profile_told(meter, file))


def _levels(
    stage: Stage, meter: str | None, file: str, state: str | None
) -> "Levels | None":
    """Return the levels in the state asked for."""
    if state is None:
        return None
    from tracegraph.cli.levels import levels_told

    return levels_told(stage, profile_told(meter, file), state)


def _drawn(
    stage: Stage,
    profile: "Profile | None",
    reference: Stage | None,
    verdict: "Verdict | None",
    levels: "Levels | None",
) -> "Drawing":
    # Only now: help, completion and a wrong file shall not wait for the layout.
    from tracegraph.views.picture import drawing

    return drawing(stage, profile, reference, verdict, levels)


def _pictures(drawn: "Drawing", target: Target, *, dark: bool) -> Sequence[bytes]:
    """Return the picture, file by file; as one where it goes to standard output."""
    from tracegraph.views.picture import WRITERS
    from tracegraph.views.png import NoPngError
    from tracegraph.views.svg import svg_of

    if target.path is None:
        return (svg_of(drawn, dark=dark).encode(),)
    try:
        return WRITERS[target.ending](drawn, dark)
    except NoPngError as missing:
        raise Refusal(str(missing)) from None


def _graph(stage: Stage, target: Target) -> Sequence[bytes]:
    from tracegraph.draw.graph import graph_source

    source = graph_source(stage)
    return ((picture(source, "svg") if target.ending == ".svg" else source).encode(),)


def _tell(stage: Stage, files: Sequence[Path]) -> None:
    """Say what was written and what to heed; beside a picture on standard output."""
    from tracegraph.views.drawn_page import drawn_page

    page = drawn_page(files, cautions(stage))
    if page:
        screen(None if files else sys.stderr).show(page)


def _open(files: Sequence[Path]) -> None:
    """Show the first file with what the system has for it, or say that it has none."""
    first = files[0].resolve()
    try:
        failed = click.launch(str(first)) != 0
    except OSError:
        failed = True
    if failed:
        text = f"nothing here opens {first.name} by itself: open it by hand\n"
        screen(sys.stderr).say(text)
