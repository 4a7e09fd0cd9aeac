"""A command run in this process, as a shell would run it."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from tracegraph.cli import main

ROOT = Path(__file__).parents[2]


class Done(NamedTuple):
    """What a command left behind."""

    code: int
    out: str
    err: str


Run = Callable[..., Done]


@pytest.fixture
def run(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Done]:
    """Return a runner of commands in the project's folder; it never sees a traceback."""
    monkeypatch.chdir(ROOT)
    monkeypatch.setenv("TRACEGRAPH_DEBUG", "1")
    monkeypatch.delenv("COLUMNS", raising=False)

    def command(*words: str | Path) -> Done:
        code = main([str(word) for word in words])
        return Done(code, *capsys.readouterr())

    return command


@pytest.fixture
def board(tmp_path: Path) -> Callable[[str], Path]:
    """Return a writer of a section's file."""

    def write(text: str) -> Path:
        path = tmp_path / "board.trace"
        path.write_text(text, "utf-8")
        return path

    return write
