"""Sessions whose logs are closed behind the test."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from tests.asking.benchwork.scripts import PAIR, STAGE, Oracle
from tracegraph.asking.benchwork.session import Session, board_of
from tracegraph.asking.logbook.book import open_logbook
from tracegraph.diagnose.verdict import Advice


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[..., Session]]:
    """Return what opens the log in the test's folder, or goes on with it."""
    with ExitStack() as books:

        def session(advice: Advice = PAIR) -> Session:
            board = board_of(STAGE)
            book, logged = open_logbook(board, tmp_path / "left.readings.trace")
            books.enter_context(book)
            return Session(book, logged.stage, len(board.log), Oracle(advice))

        yield session
