"""Where an answer goes: a terminal, a file, a pipe; what it can show."""

import os
import sys
from typing import TYPE_CHECKING, NamedTuple, TextIO

from tracegraph.views.letters import plain_letters

if TYPE_CHECKING:
    from tracegraph.views.page import Page

SAMPLE = "Ωµ°±"  # what our pages hold beyond plain letters
WIDTH = 80  # of files and pipes
NARROW, WIDE = 60, 120  # a page narrower or wider than this reads badly


class Screen(NamedTuple):
    """What a stream can show.

    Attributes:
        stream: Where to write.
        terminal: Whether a person looks at it as it is written.
        ascii_only: Whether it can't show an ohm sign.
        width: Columns.
    """

    stream: TextIO
    terminal: bool
    ascii_only: bool
    width: int

    def say(self, text: str) -> None:
        """Write a text, in plain letters where others can't be shown."""
        self.stream.write(plain_letters(text) if self.ascii_only else text)

    def show(self, page: "Page") -> None:
        """Write a page: with rich at a terminal, as aligned text elsewhere."""
        if self.ascii_only:
            from tracegraph.views.page import respelt

            page = respelt(page, plain_letters)
        if self.terminal:
            self._show_rich(page)
        else:
            from tracegraph.views.plain import plain_text

            self.say(plain_text(page, self.width))

    def _show_rich(self, page: "Page") -> None:
        from rich.console import Console

        from tracegraph.views.console import show_page

        console = Console(file=self.stream, width=self.width, highlight=False)
        with console.capture() as caught:
            show_page(page, console)
        self.say(caught.get())


def screen(stream: TextIO | None = None) -> Screen:
    """Return what a stream, by default standard output, can show."""
    stream = stream or sys.stdout
    terminal = stream.isatty() and os.environ.get("TERM") != "dumb"
    return Screen(stream, terminal, not shows(stream, SAMPLE), _width(stream))


def shows(stream: TextIO, text: str) -> bool:
    """Return whether a stream's encoding has all the letters of a text."""
    try:
        text.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _width(stream: TextIO) -> int:
    """Return the columns of a terminal, else 80; `COLUMNS` goes before both."""
    from shutil import get_terminal_size

    columns = get_terminal_size((WIDTH, 24)).columns if stream.isatty() else WIDTH
    asked = os.environ.get("COLUMNS", "")
    return min(max(int(asked) if asked.isdigit() else columns, NARROW), WIDE)
