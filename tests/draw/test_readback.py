"""Every drawing read back: what the eye joins is the section's netlist, pin for pin.

`DRAWN_SECTIONS=500` draws all random sections; without it the first sixty are drawn.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.draw.geometry import faults
from tests.draw.naming import nameless
from tests.draw.random_stage import random_section
from tests.draw.readback import assert_same_netlist
from tracegraph.draw.draw import draw
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage
from tracegraph.views.svg import svg

SECTIONS = int(os.environ.get("DRAWN_SECTIONS", "60"))
HERE = Path(__file__).parent
FILES = [
    *sorted((HERE.parents[1] / "examples").glob("*.trace")),
    HERE / "hundred.trace",
]


def hold(stage: Stage) -> None:
    """Hold that a section's drawing is true, clear and named."""
    drawing = draw(stage)
    sheets = [svg(sheet) for sheet in drawing.sheets]
    assert_same_netlist(stage, sheets)
    found = [fault for sheet in drawing.sheets for fault in faults(sheet)]
    assert [*found, *nameless(stage, drawing)] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.stem))
def test_a_section_of_ours_is_drawn_as_it_is(path: Path) -> None:
    hold(read(from_bytes(path.name, path.read_bytes())))


@pytest.mark.parametrize("seed", range(SECTIONS))
def test_a_random_section_is_drawn_as_it_is(seed: int) -> None:
    hold(read(from_text(f"{seed}.trace", random_section(seed))))


DIGEST = """
import sys
from hashlib import sha256
from tests.draw.test_readback import drawn
for name in sys.argv[1:]:
    print(name, sha256(drawn(name).encode()).hexdigest())
"""


def drawn(name: str) -> str:
    """Return all sheets of a random section or of a file of ours, one after the other."""
    text = (
        random_section(int(name)) if name.isdigit() else Path(name).read_text("utf-8")
    )
    stage = read(from_text("drawn.trace", text))
    return "".join(svg(sheet) for sheet in draw(stage).sheets)


def test_the_same_section_gives_the_same_bytes_in_every_process() -> None:
    names = [*map(str, FILES[:-1]), *map(str, range(11, SECTIONS, 12))]
    told = [_digests(names, hashing) for hashing in ("1", "2")]
    assert told[0] == told[1]
    assert len(told[0].splitlines()) == len(names)


def _digests(names: list[str], hashing: str) -> str:
    """Return what a process of its own draws, its sets and dicts in another order."""
    command = [sys.executable, "-c", DIGEST, *names]
    environment = os.environ | {"PYTHONHASHSEED": hashing}
    root = HERE.parents[1]
    done = subprocess.run(
        command, check=True, capture_output=True, text=True, env=environment, cwd=root
    )
    return done.stdout


def test_the_large_section_is_written_without_an_error_or_doubt() -> None:
    stage = read(from_bytes("hundred.trace", FILES[-1].read_bytes()))
    assert stage.problems == ()
    assert len(stage.parts) > 100
