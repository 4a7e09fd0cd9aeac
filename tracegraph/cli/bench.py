"""`tracegraph bench`: a session at the bench, one typed line after the other."""

import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.options import file_argument, meter_option, profile_told
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import Screen, screen
from tracegraph.cli.section import STANDARD_INPUT, section_of, tell_left_out

if TYPE_CHECKING:
    from tracegraph.asking.benchwork.session import Session, Tiding
    from tracegraph.asking.logbook.logs import Logged
    from tracegraph.diagnose.priors import Priors
    from tracegraph.stage.stage import Stage
    from tracegraph.views.page import Page

SOON = 0.1  # seconds from the prompt to a line's end that nobody reads and types in


@click.command(cls=FileCommand, name="bench")
@file_argument
@click.option(
    "--log",
    "name",
    default="",
    metavar="NAME",
    help="Name or path of the log (usual: FILE's, with .readings.trace).",
)
@meter_option
@click.option(
    "--priors", metavar="FILE", help="Your own table of how likely faults are."
)
def command(file: str, name: str, meter: str | None, priors: str | None) -> int:
    """Find the part with the probes in hand: shows the next probe, takes the reading.

    Every reading is in the log at once. The same command goes on where it was left.
    """
    if file == STANDARD_INPUT:
        raise Refusal("bench reads what is typed: name the section's file")
    stage = section_of(file)
    tell_left_out(stage)
    # Only now: help, completion and a wrong file shall not wait for the solver.
    from tracegraph.asking.benchwork.session import Session, board_of
    from tracegraph.asking.logbook.book import LogbookError, log_path, open_logbook
    from tracegraph.asking.sources import UnreadableError
    from tracegraph.diagnose.inquiry import Inquiry

    board, path = board_of(stage), log_path(Path(file), name)
    profile = profile_told(meter, file)
    inquiry = Inquiry(board, profile, _priors(priors))
    new = not path.exists()
    try:
        book, logged = open_logbook(board, path, meter=profile.name if meter else "")
    except (LogbookError, UnreadableError) as fault:
        raise Refusal(str(fault)) from None
    with book:
        session = Session(book, logged.stage, len(board.log), inquiry)
        _Talk(session, logged, path, screen()).run(new=new)
    return 0


def _priors(file: str | None) -> "Priors | None":
    """Return the person's own table, or None for the usual one."""
    if file is None:
        return None
    from tracegraph.diagnose.priors import PriorsError, priors_from

    try:
        return priors_from(Path(file))
    except (PriorsError, OSError) as fault:
        raise Refusal(str(fault)) from None


class _Talk:
    """Prompts, lines and pages, in turn."""

    def __init__(
        self, session: "Session", logged: "Logged", path: Path, out: Screen
    ) -> None:
        self.session, self.logged, self.path, self.out = session, logged, path, out
        self.over = False
        _forgive_input()

    def run(self, *, new: bool) -> None:
        """Talk until the person quits, or nothing more comes in."""
        from tracegraph.stage.caution import cautions
        from tracegraph.views import bench_page as pages

        now = self.session.now
        count, heed = now.taken, cautions(now.stage)
        self.show(
            pages.opening_page(now.stage.title, str(self.path), count, heed, new=new)
        )
        try:
            self._problems()
            if now.unended:
                self.show(pages.question_page(now.unended))
            self.tell(self.session.begun)
            while not self.over:
                self._turn()
        except (KeyboardInterrupt, EOFError):
            self.out.say("\n")
        self.session.close()
        self.show(pages.closing_page(str(self.path), self.session.now.taken))

    def _problems(self) -> None:
        """Say what of the log could not be read."""
        from tracegraph.views.problems import problems_text

        for told in self.logged.told:
            if told.problems:
                self.out.say(f"\n{problems_text(told.problems, told.source)}\n")

    def _turn(self) -> None:
        from tracegraph.views.bench_page import PROMPT

        self.out.say(PROMPT)
        self.out.stream.flush()
        self.session.idle()
        begun = monotonic()
        line = sys.stdin.readline()
        if not line:
            raise EOFError
        terminal = sys.stdin.isatty()
        if not terminal:  # nothing echoes what was typed
            self.out.say(line if line.endswith("\n") else f"{line}\n")
        early = terminal and monotonic() - begun < SOON
        self.tell(lambda: self.session.take(line, early=early))

    def tell(self, tidings: "Callable[[], Iterable[Tiding]]") -> None:
        """Show what becomes known, each thing as soon as it is."""
        for one in tidings():
            self.show(page_of(one, self.session.now.stage))
            self.over = self.over or _ends(one)

    def show(self, page: "Page") -> None:
        """Write a page so that it is seen at once."""
        if page:
            self.out.show(page)
            self.out.stream.flush()


def _ends(tiding: "Tiding") -> bool:
    from tracegraph.asking.benchwork.session import Over

    return isinstance(tiding, Over)


def page_of(tiding: "Tiding", stage: "Stage") -> "Page":  # noqa: PLR0911 - one a tiding
    """Return what is shown of a tiding."""
    from tracegraph.asking.benchwork import session as of
    from tracegraph.asking.benchwork.moves import Say
    from tracegraph.asking.logbook.typed import Trouble
    from tracegraph.views import bench_page as pages
    from tracegraph.views.suspects_page import suspects_page

    match tiding:
        case of.Kept():
            return pages.kept_page(tiding.entry, tiding.number)
        case of.TakenBack():
            return pages.taken_back_page(tiding.entry)
        case of.Stands():
            return pages.bench_page(tiding.condition)
        case of.Judged():
            return pages.judged_page(tiding.verdict, tiding.last)
        case of.Next():
            return pages.next_probe_page(tiding.now)
        case of.Help():
            return pages.help_page()
        case of.Listed():
            heading = stage.title or "The section"
            return suspects_page(heading, tiding.verdict, every=tiding.every)
        case of.Over():
            return ()
        case Say() | Trouble():
            return pages.said_page(tiding)


def _forgive_input() -> None:
    """Let standard input replace letters that it can't read rather than fail."""
    reconfigure = getattr(sys.stdin, "reconfigure", None)
    if reconfigure:
        reconfigure(errors="replace")
