"""Graphviz's `dot`, wherever it is: the one that came with the install, or the system's.

The program of the `graphviz-pure` wheel goes first: it is the same on every machine, so
that a drawing is too. It is found where the environment keeps its programs, whether or
not that place is on the search path.
"""

import json
import sys
import sysconfig
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from shutil import which
from typing import Any

WHEEL = "graphviz-pure"
SYSTEM = "dot"
PATIENCE = 60.0  # seconds; a section takes a fraction of one


class NoDotError(Exception):
    """There is no `dot` on this machine."""

    def __init__(self) -> None:
        super().__init__(
            f"a drawing needs Graphviz: install it with `pip install {WHEEL}`, or, "
            f"where there is no such wheel, a Graphviz whose `{SYSTEM}` is on the PATH"
        )


class DotError(Exception):
    """`dot` was run and failed, or took too long."""


def placed(source: str) -> dict[str, Any]:
    """Return where `dot` puts the nodes of a graph: its JSON answer.

    Args:
        source: The graph in the DOT language.

    Raises:
        NoDotError: There is no `dot`.
        DotError: `dot` failed, took too long, or did not answer in JSON.
    """
    try:
        answer: dict[str, Any] = json.loads(picture(source, "json"))
    except ValueError as wrong:
        raise DotError(f"{program().name} did not answer in JSON: {wrong}") from None
    return answer


def picture(source: str, form: str) -> str:
    """Return what `dot` makes of a graph.

    Args:
        source: The graph in the DOT language.
        form: One of dot's textual output formats: `svg`, `json`, `plain`.

    Raises:
        NoDotError: There is no `dot`.
        DotError: `dot` failed or took too long.
    """
    import subprocess

    from graphviz.backend.execute import ExecutableNotFound, run_check

    command = [str(program()), "-Kdot", f"-T{form}"]
    bounds = {"timeout": PATIENCE, "encoding": "utf-8", "errors": "replace"}
    try:
        done = run_check(
            command, input=source, capture_output=True, quiet=True, **bounds
        )
    except ExecutableNotFound:
        raise NoDotError from None
    except subprocess.TimeoutExpired:
        raise DotError(f"{program().name} took over {PATIENCE:.0f} s") from None
    except subprocess.CalledProcessError as fault:
        raise DotError(
            f"{program().name} failed: {_first_line(fault.stderr)}"
        ) from None
    except OSError as fault:
        raise DotError(f"{program()} can't be run: {fault}") from None
    return str(done.stdout)


@cache
def program() -> Path:
    """Return the `dot` to run.

    Raises:
        NoDotError: There is none.
    """
    for found in _candidates():
        if found.is_file():
            return found
    raise NoDotError


def _candidates() -> Iterator[Path]:
    """Yield where a `dot` may be, the likeliest and steadiest first."""
    name = WHEEL + (".exe" if sys.platform == "win32" else "")
    yield Path(sysconfig.get_path("scripts")) / name
    yield from _recorded(name)
    for word in (WHEEL, SYSTEM):
        found = which(word)
        if found:
            yield Path(found)


def _recorded(name: str) -> Iterator[Path]:
    """Yield where the installer says that it put the wheel's program."""
    from importlib.metadata import PackageNotFoundError, distribution

    try:
        record = distribution(WHEEL).files or []
    except PackageNotFoundError:
        return
    yield from (Path(str(one.locate())).resolve() for one in record if one.name == name)


def _first_line(words: str | None) -> str:
    """Return the first line of what a program complained of."""
    return next(iter((words or "").strip().splitlines()), "it gave no reason")
