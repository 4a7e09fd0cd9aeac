"""The grammar: where it lies, and the reader that is built from it once."""

import os
import sys
import tempfile
from functools import lru_cache
from hashlib import sha256
from io import BytesIO
from pathlib import Path

from lark import Lark
from lark import __version__ as lark_version

STARTS = ("line", "range", "tail")


def grammar_text() -> str:
    """Return the grammar: shipped in a wheel, beside the package in a checkout."""
    here = Path(__file__)
    for folder in (here.parents[1], here.parents[2]):
        grammar = folder / "grammar" / "stage.lark"
        if grammar.is_file():
            return grammar.read_text("utf-8")
    return _packed_text()


def _packed_text() -> str:
    """Return the grammar out of a package that is no folder, such as a zip."""
    from importlib.resources import files  # slow to import, seldom needed

    return (files("tracegraph") / "grammar" / "stage.lark").read_text("utf-8")


@lru_cache(maxsize=1)
def reader() -> Lark:
    """Return the reader of single lines, from the disk if it was built before."""
    grammar = grammar_text()
    place = cache_file(grammar)
    found = _kept(place)
    if found is None:
        found = _built(grammar)
        _keep(found, place)
    return found


def cache_file(grammar: str) -> Path | None:
    """Return where the built grammar is kept, in a folder of this user's own.

    The name changes with the grammar, with lark and with Python, so that a kept one
    always fits. None where the user has no such folder.
    """
    named = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        folder = Path(named) if named else Path.home() / ".cache"
    except RuntimeError:
        return None
    made_of = "\n".join((grammar, lark_version, sys.version, *STARTS))
    name = sha256(made_of.encode()).hexdigest()[:32]
    return folder / "tracegraph" / f"{name}.grammar"


def _built(grammar: str) -> Lark:
    return Lark(
        grammar,
        parser="lalr",
        start=list(STARTS),
        propagate_positions=True,
        maybe_placeholders=False,
    )


def _kept(path: Path | None) -> Lark | None:
    """Return the kept grammar, or None where there is none that can be trusted."""
    try:
        if path is None or not _own(path):
            return None
        with path.open("rb") as stream:
            return Lark.load(stream)
    except Exception:  # whatever is wrong with the file, the grammar itself is at hand
        return None


def _own(path: Path) -> bool:
    """Whether the file is this user's; never load what somebody else put there."""
    return not hasattr(os, "getuid") or path.stat().st_uid == os.getuid()


def _keep(built: Lark, path: Path | None) -> None:
    """Keep a built grammar; a folder that can't be written only costs time."""
    if path is None:
        return
    whole = BytesIO()
    built.save(whole)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        _write_at_once(path, whole.getvalue())
    except OSError:
        return


def _write_at_once(path: Path, data: bytes) -> None:
    """Write a file so that nobody ever reads half of it."""
    handle, name = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
