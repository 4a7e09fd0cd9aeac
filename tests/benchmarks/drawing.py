"""How our sections are drawn, and how plain dot draws the same nets, in one run.

A part or net is a node to plain dot, a pin an edge: it has fewer things to draw and no
symbols, names or right angles to keep. Its curves are measured as lines between points.
"""

from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from tests.benchmarks.plain_dot import dot_score
from tests.draw.random_stage import random_stage
from tests.draw.score import Score, score
from tracegraph.draw.draw import draw
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

TESTS = Path(__file__).parents[1]
FILES = (
    *sorted((TESTS.parent / "examples").glob("*.trace")),
    TESTS / "draw" / "hundred.trace",
)
SIZES = (45, 45, 45, 200, 200)
HEAD = f"{'':28}{'parts':>6}{'sheets':>7}{'cross':>7}{'bends':>7}{'wire':>7}{'area':>8}"


def run() -> None:
    """Print a line for every section, and under it plain dot's."""
    print(f"{HEAD}{'seconds':>9}   (lengths in grid units)")
    draw(read(from_text("first.trace", "R1 1k A -- B\n")))  # what is loaded only once
    for name, stage in _sections():
        start = perf_counter()
        own = score(draw(stage))
        _tell(name, own, perf_counter() - start)
        _tell("  plain dot", *dot_score(stage))


def _sections() -> Iterator[tuple[str, Stage]]:
    for path in FILES:
        yield path.stem, read(from_bytes(path.name, path.read_bytes()))
    for seed, parts in enumerate(SIZES):
        text = random_stage(seed, parts)
        yield f"random {seed}", read(from_text("random.trace", text))


def _tell(name: str, one: Score, seconds: float) -> None:
    counts = f"{one.parts:6}{one.sheets:7}{one.crossings:7}{one.bends:7}"
    print(f"{name:28}{counts}{one.wire:7.0f}{one.area:8.0f}{seconds:9.2f}")
