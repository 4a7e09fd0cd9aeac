"""Options that say how the bench stands: tails of the notation."""

from collections.abc import Callable
from typing import Any

import click

from tracegraph.asking.bench import BenchError, BenchWords, bench_of, tail_of
from tracegraph.cli.complete import legs, parts, points
from tracegraph.cli.refusal import Refusal
from tracegraph.stage.reading import Condition
from tracegraph.stage.stage import Stage

Function = Callable[..., Any]


class BenchOptions(BenchWords, total=False):
    """The options of the bench; a state asks for power, and is refused."""

    state: str | None


def bench_options(function: Function) -> Function:
    """Add the options that say how the bench stands: tails of the notation."""
    for option in reversed(_BENCH):
        function = option(function)
    return function


_BENCH = (
    click.option(
        "--without",
        multiple=True,
        metavar="PART",
        shell_complete=parts,
        help="Part out of its holes.",
    ),
    click.option(
        "--lifted",
        multiple=True,
        metavar="PIN",
        shell_complete=legs,
        help="Leg lifted, such as R14.1.",
    ),
    click.option(
        "--joined",
        multiple=True,
        metavar="NET,NET",
        shell_complete=points,
        help="Nets joined first and parted again (a gate emptied).",
    ),
    click.option(
        "--unplugged",
        multiple=True,
        metavar="PLUG",
        shell_complete=points,
        help="Connector or net whose plug is out.",
    ),
    click.option(
        "--with",
        "fitted",
        multiple=True,
        metavar="PART-LINE",
        help='Stand-in, as in "C99 3n3 GATE -- COM".',
    ),
    click.option(
        "--after", metavar="TIME", help="Time since touching, such as 10s (usual: 1s)."
    ),
    click.option("--in", "state", metavar="STATE", hidden=True),
)
_LIVE = (
    "ask `tracegraph levels --state {state}`, or `tracegraph expect ... --in {state}`"
)


def bench_told(stage: Stage, bench: BenchOptions) -> Condition:
    """Return how the bench stands, as the options tell.

    Raises:
        Refusal: An option does not fit the section, or asks for a powered board.
    """
    state = bench.get("state")
    if state:
        raise Refusal(
            f"--in {state} asks for a powered board; this command answers for a cold "
            f"one: leave --in out, or {_LIVE.format(state=state)}"
        )
    try:
        return bench_of(stage, tail_of(bench))
    except BenchError as wrong:
        raise Refusal(_told(wrong)) from None


def _told(wrong: BenchError) -> str:
    """Return what is wrong with the options, each message with its words."""
    return f"{wrong} (in: {wrong.source.text})"
