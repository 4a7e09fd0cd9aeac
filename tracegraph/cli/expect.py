"""`tracegraph expect`: what a healthy section reads between two points."""

from typing import Unpack

import click

from tracegraph.cli.bench_options import BenchOptions, bench_options, bench_told
from tracegraph.cli.command import FileCommand, choice
from tracegraph.cli.complete import points
from tracegraph.cli.options import (
    file_argument,
    json_option,
    meter_option,
    profile_told,
)
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

MODES = [mode.value for mode in Mode]


@click.command(cls=FileCommand, name="expect")
@file_argument
@click.argument("red", shell_complete=points)
@click.argument("black", required=False, shell_complete=points)
@click.option(
    "--mode",
    **choice("mode", MODES),
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
    meter: str | None,
    *,
    as_json: bool,
    **bench: Unpack[BenchOptions],
) -> int:
    """Say what a healthy section reads between RED and BLACK, board cold.

    With `--in STATE` the board is powered in a declared state, and the answer is volts.

    RED and BLACK are nets or pins (GATE, Q11.b). With a part alone (Q11): every
    reading over its own pins, and what a pass does not prove. A net that begins with
    a dash may stand as it is, or after `--`.
    """
    stage = section_of(file)
    # Only now: help, completion and a wrong file shall not wait for the solver.
    from tracegraph.cli.answering import Question, answer, show, show_json

    power = bench.pop("state", None)
    wanted = _mode(mode, power)
    profile, condition = profile_told(meter, file), bench_told(stage, bench)
    if power and black is None:
        raise Refusal(f"volts stand between two points: {red} over which?")
    if power:
        stage, name = state_told(stage, power)
        condition = condition._replace(power=name)
    found = answer(stage, Question(red, black, wanted, profile, condition))
    tell_left_out(stage)
    if as_json:
        show_json(found)
    else:
        show(stage, found)
    return 1 if holds_errors(stage) else 0


def _mode(mode: str | None, power: str | None) -> Mode | None:
    """Return the mode asked for: volts on a powered board, all others on a cold one."""
    if power and mode not in {None, Mode.VOLTS.value}:
        raise Refusal(f"{mode} is for a board without power: leave --in {power} out")
    if mode == Mode.VOLTS.value and not power:
        raise Refusal("volts are for a powered board: name its state, --in STATE")
    return Mode.VOLTS if power else Mode(mode) if mode else None


def state_told(stage: Stage, name: str) -> tuple[Stage, str]:
    """Return the section with a state of that name in it, or refuse in words.

    Where none is declared, combinations of the inputs are states, as for `levels`.
    """
    from tracegraph.levels.states import asked
    from tracegraph.stage.state import StateError

    try:
        section, (own,) = asked(stage, name)
    except StateError as wrong:
        raise Refusal(str(wrong)) from None
    return section, own
