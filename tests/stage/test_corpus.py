"""Broken files: one slip each, one clear message each."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tracegraph.notation.source import from_bytes
from tracegraph.stage.read import read
from tracegraph.views.problems import problems_text

CORPUS = sorted((Path(__file__).parents[1] / "corpus").glob("*.trace"))


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: path.stem)
def test_one_slip_gives_one_clear_message(
    path: Path, golden: Callable[[str, str], None]
) -> None:
    """The file is named after the code; the text is compared with its golden file."""
    source = from_bytes(path.name, path.read_bytes())
    (problem,) = read(source).problems
    assert problem.code == path.stem.partition("--")[0]
    assert problem.span is not None
    assert problem.span.end <= len(source.line(problem.span.line)) + 2
    text = problems_text((problem,), source)
    assert text.isascii()
    golden(f"messages/{path.stem}.txt", f"{text}\n")


def test_the_corpus_is_no_less_than_thirty_files() -> None:
    assert len(CORPUS) >= 30
