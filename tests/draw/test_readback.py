"""Every drawing read back: what the eye joins is the section's netlist, pin for pin.

`DRAWN_SECTIONS=240` draws all random sections; without it the first sixty are drawn.
"""

import os
import subprocess
import sys
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest

from tests.draw.geometry import faults
from tests.draw.naming import nameless
from tests.draw.random_stage import random_section
from tests.draw.readback import assert_same_netlist
from tracegraph.draw.draw import draw
from tracegraph.draw.drawing import Drawing
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage
from tracegraph.views.svg import svg

SECTIONS = int(os.environ.get("DRAWN_SECTIONS", "60"))
HERE = Path(__file__).parent
FILES = [
    *sorted((HERE.parents[1] / "examples").glob("*.trace")),
    HERE / "hundred.trace",
]


@cache
def section(name: str) -> Stage:
    """Return a random section by its number, or a file of ours by its path."""
    text = (
        random_section(int(name)) if name.isdigit() else Path(name).read_text("utf-8")
    )
    return read(from_text("drawn.trace", text))


@cache
def drawing(name: str) -> Drawing:
    """Return one of them drawn, once for all tests."""
    return draw(section(name))


def drawn(name: str) -> list[str]:
    """Return all sheets of one of them."""
    return [svg(sheet) for sheet in drawing(name).sheets]


def hold(name: str) -> None:
    """Hold that a section's drawing is true, clear and named."""
    assert_same_netlist(section(name), drawn(name))
    found = [fault for sheet in drawing(name).sheets for fault in faults(sheet)]
    assert [*found, *nameless(section(name), drawing(name))] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.stem))
def test_a_section_of_ours_is_drawn_as_it_is(path: Path) -> None:
    hold(str(path))


@pytest.mark.parametrize("seed", range(SECTIONS))
def test_a_random_section_is_drawn_as_it_is(seed: int) -> None:
    hold(str(seed))


DIGEST = """
import sys
from tests.draw.test_readback import digest
for name in sys.argv[1:]:
    print(digest(name))
"""


def digest(name: str) -> str:
    """Return what tells all sheets of a section from any others."""
    return f"{name} {sha256(''.join(drawn(name)).encode()).hexdigest()}"


def test_the_same_section_gives_the_same_bytes_in_every_process() -> None:
    names = [*map(str, FILES[:-1]), *map(str, range(11, SECTIONS, 12))]
    told = _elsewhere(names).splitlines()
    assert told == [digest(name) for name in names]


def _elsewhere(names: list[str]) -> str:
    """Return what a process of its own draws, its sets and dicts in another order."""
    command = [sys.executable, "-c", DIGEST, *names]
    other = "2" if os.environ.get("PYTHONHASHSEED") == "1" else "1"
    environment = os.environ | {"PYTHONHASHSEED": other}
    root = HERE.parents[1]
    done = subprocess.run(
        command, check=True, capture_output=True, text=True, env=environment, cwd=root
    )
    return done.stdout


def test_the_large_section_is_written_without_an_error_or_doubt() -> None:
    stage = section(str(FILES[-1]))
    assert stage.problems == ()
    assert len(stage.parts) > 100
