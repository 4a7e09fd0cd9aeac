"""The grammar teaches itself: its example lines, its page, and where it is kept."""

import os
import re
import stat
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import get_args

import pytest
from lark.exceptions import UnexpectedInput

from tracegraph.notation import grammar, syntax
from tracegraph.notation.grammar import STARTS, cache_file, grammar_text, reader
from tracegraph.notation.lines import line_of
from tracegraph.notation.mistakes.usage import INNER, PART, USAGE
from tracegraph.notation.parser import parse
from tracegraph.notation.source import from_text
from tracegraph.notation.words import branches

FOLDER = Path(__file__).parents[2] / "grammar"


def examples() -> list[tuple[str, list[str]]]:
    """Return every rule of the grammar with the lines that stand above it."""
    found = []
    for paragraph in grammar_text().split("// ---- Keywords")[0].split("\n\n"):
        lines = [x.removeprefix("// ") for x in paragraph.split("\n") if x[:2] == "//"]
        rules = re.findall(r"^([a-z]\w*):", paragraph, re.MULTILINE)
        found += [(rule, lines) for rule in rules]
    return found


def page() -> str:
    """Return all lines that the page for writers shows."""
    shown = (FOLDER / "README.md").read_text("utf-8")
    return "".join(
        f"{line[4:]}\n" for line in re.findall(r"^    .*", shown, re.MULTILINE)
    )


def rules(text: str) -> set[str]:
    """Return the grammar's rules that a line makes use of, read in every way."""
    found = set()
    for start in STARTS:
        with suppress(UnexpectedInput):
            tree = branches(line_of(text), start).tree
            found |= {str(inner.data) for inner in tree.iter_subtrees()}
    return found


def test_every_line_of_the_page_is_right() -> None:
    assert parse(from_text("page", page())).problems == ()


def test_the_page_shows_every_kind_of_line() -> None:
    shown = {type(line).__name__ for line in parse(from_text("x", page())).statements}
    every = {kind.__name__ for kind in get_args(syntax.Statement)}
    assert every - shown == set()


@pytest.mark.parametrize("line", [PART, *USAGE.values(), *INNER.values()])
def test_every_line_that_a_hint_shows_is_right(line: str) -> None:
    opened = "channel W\n" if line == "end" else ""
    closing = "\nend" if line == "channel U" else ""
    assert parse(from_text("hint", opened + line + closing)).problems == ()


@pytest.mark.parametrize(("rule", "lines"), examples())
def test_every_rule_has_a_line_of_it(rule: str, lines: list[str]) -> None:
    assert any(rule in rules(line) for line in lines)


def works() -> bool:
    return reader().parse("ground com", "line").data == "line"


def fresh(monkeypatch: pytest.MonkeyPatch, folder: Path) -> Path:
    """Make the next reader a new one, kept in `folder`; return its file."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder))
    reader.cache_clear()
    kept = cache_file(grammar_text())
    assert kept
    return kept


def test_the_grammar_is_built_once_and_kept(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kept = fresh(monkeypatch, tmp_path / "made")
    reader()
    assert kept.is_file()
    assert stat.S_IMODE(kept.stat().st_mode) & 0o077 == 0
    reader.cache_clear()
    monkeypatch.setattr(grammar, "_built", lambda _text: pytest.fail("built again"))
    assert works()


def test_what_was_kept_and_is_spoilt_is_made_again(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kept = fresh(monkeypatch, tmp_path)
    kept.parent.mkdir(parents=True)
    kept.write_bytes(b"not a grammar")
    assert works()
    assert kept.read_bytes() != b"not a grammar"


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="files have no owner here")
def test_what_somebody_else_left_there_is_not_read(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kept = fresh(monkeypatch, tmp_path)
    kept.parent.mkdir(parents=True)
    kept.write_bytes(b"somebody else's")
    monkeypatch.setattr(os, "getuid", lambda: kept.stat().st_uid + 1)
    monkeypatch.setattr(
        "tracegraph.notation.grammar.Lark.load", lambda _stream: pytest.fail("read")
    )
    assert works()


def test_a_folder_that_cannot_be_written_only_costs_time(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way")
    fresh(monkeypatch, tmp_path / "file")
    assert works()


def test_no_home_no_kept_grammar(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.delenv("LOCALAPPDATA", raising=False)

    def homeless() -> Path:
        raise RuntimeError

    monkeypatch.setattr(Path, "home", homeless)
    assert cache_file("") is None
    reader.cache_clear()
    assert works()


def test_another_grammar_lark_or_python_is_kept_elsewhere(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    usual = cache_file("a")
    assert cache_file("b") != usual
    monkeypatch.setattr(grammar, "lark_version", "0.0")
    assert cache_file("a") != usual
    monkeypatch.undo()
    monkeypatch.setattr(sys, "version", "3.0")
    assert cache_file("a") != usual


def test_reading_a_right_text_warns_of_nothing(tmp_path: Path) -> None:
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-W", "error", "-c", _READ],
            env={**os.environ, "XDG_CACHE_HOME": str(tmp_path)},
            cwd=FOLDER.parent,
            capture_output=True,
            text=True,
            check=True,
        )
        assert (done.stdout, done.stderr) == ("1\n", "")


_READ = """
from tracegraph.notation.parser import parse
from tracegraph.notation.source import from_text
print(len(parse(from_text("x", "ground COM")).statements))
"""
