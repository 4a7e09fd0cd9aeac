"""The program: its commands, found when they are called, and its last words."""

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NamedTuple, TextIO

import click

from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.nearest import did_you_mean

NAME = "tracegraph"
COMPLETE = "_TRACEGRAPH_COMPLETE"
FAULT, STOPPED = 70, 130  # ours (EX_SOFTWARE), and stopped by the person (Ctrl-C)

# Our matrices are small: threads for one of them cost more than they bring.
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


class Entry(NamedTuple):
    """A command in the list: the module that holds it, and what it is for."""

    module: str
    words: str


COMMANDS = {
    "check": Entry("check", "What was understood of a file, and every doubt."),
    "expect": Entry("expect", "What a healthy section reads between two points."),
    "sheet": Entry("sheet", "The readings worth taking, as a table to print."),
    "levels": Entry("levels", "What stands at every net when it is powered, and why."),
    "draw": Entry("draw", "The section as a picture: SVG, PNG, PDF."),
    "wave": Entry("wave", "What a scope shows at a net while an input switches."),
    "purpose": Entry("purpose", "What each part is for, and what goes without it."),
    "bench": Entry(
        "bench", "A session at the bench: the next probe, its reading, the part."
    ),
    "compare": Entry("compare", "What differs from a known-good section."),
    "suspects": Entry("suspects", "Which part it is, by the readings."),
    "next": Entry("next_reading", "Where to probe next, and what it would mean."),
    "plan": Entry("plan", "In which order to power up, what to read, when to stop."),
    "priors": Entry("priors", "What fails how often: rates, shares and their sources."),
    "legs": Entry("legs", "What an unknown part with three legs is."),
    "value": Entry("value", "Every meaning of a marking: 103, 4k7, R47, 01C."),
    "meters": Entry("meters", "The meters that are known."),
    "completion": Entry("completion", "Completion of commands, nets and parts."),
}


def _tell_version(ctx: click.Context) -> None:
    from importlib.metadata import PackageNotFoundError, version

    try:
        click.echo(f"{NAME} {version(NAME)}")
    except PackageNotFoundError:  # run from a checkout that was never installed
        click.echo(f"{NAME}, from a checkout")
    ctx.exit()


class Commands(click.Group):
    """The commands; one is imported only when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names in the order of the help."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command, or None where there is none of this name."""
        entry = COMMANDS.get(cmd_name.lower())
        if entry is None:
            return None
        module = import_module(f"tracegraph.cli.{entry.module}")
        command: click.Command = module.command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command that the first word names; a slip is asked about."""
        if args[0].lower() not in COMMANDS and not ctx.resilient_parsing:
            hint = did_you_mean(args[0], COMMANDS) or f"; known: {', '.join(COMMANDS)}"
            raise Refusal(f"there is no command {args[0]}{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(
        self, ctx: click.Context, formatter: click.HelpFormatter
    ) -> None:
        """Write the list of commands without importing one of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, one.words) for name, one in COMMANDS.items()])


@click.group(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="The notation of files is told in the README. Readings are of a board "
    "without power: unplug and discharge before probing.",
)
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=lambda ctx, _param, asked: _tell_version(ctx) if asked else None,
    help="Say which version this is.",
)
@click.pass_context
def program(ctx: click.Context) -> None:
    """What should the meter read? Trace a section, ask, then probe."""
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


def run(args: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code: 0, 1 for errors in the file, 2 refused."""
    words = list(sys.argv[1:] if args is None else args)
    for name in ONE_THREAD:  # before numpy is loaded
        os.environ.setdefault(name, "1")
    for stream in (sys.stdout, sys.stderr):
        _forgive(stream)
    try:
        return _run(words)
    except click.exceptions.Exit as done:
        return done.exit_code
    except click.ClickException as refused:
        screen(sys.stderr).say(f"{NAME}: {_words(refused)}\n")
        return Refusal.exit_code
    except (click.Abort, KeyboardInterrupt):
        return STOPPED
    except BrokenPipeError:
        return _close_quietly()
    except Exception as fault:  # the last resort: a person shall not see a traceback
        if os.environ.get("TRACEGRAPH_DEBUG"):
            raise
        what = f"{type(fault).__name__}: {fault}".replace("\n", " ")
        told = f"this is a fault of {NAME}, please report it with the file ({what})"
        screen(sys.stderr).say(f"{NAME}: {told}\n")
        return FAULT


def _run(words: list[str]) -> int:
    if COMPLETE in os.environ:
        from click.shell_completion import shell_complete

        shell_complete(program, {}, NAME, COMPLETE, os.environ[COMPLETE])
    with program.make_context(NAME, words) as ctx:
        code = program.invoke(ctx)
        sys.stdout.flush()
    return code if isinstance(code, int) else 0


def _words(refused: click.ClickException) -> str:
    """Return what is wrong in one sentence, without the usage lines above it."""
    text = " ".join(refused.format_message().split())
    if isinstance(refused, click.UsageError) and refused.ctx:
        start = text[:1].lower() + text[1:].rstrip(".")
        return f"{start}; try `{refused.ctx.command_path} --help`"
    return text


def _forgive(stream: TextIO) -> None:
    """Let a stream replace letters that it can't show rather than fail."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure:
        reconfigure(errors="replace")


def _close_quietly() -> int:
    """Give standard output a place to go when its reader has left, and be content."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0
