"""What is shipped is complete: grammar, font and its table travel inside the wheel."""

import os
import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[1]
READ = """
from tracegraph.notation import grammar, parser, source
print(grammar.__file__)
print(len(grammar.grammar_text()))
print(len(parser.parse(source.from_text("x", "ground COM")).statements))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel from the project's files and return it."""
    out = tmp_path_factory.mktemp("dist")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(out)]
    done = subprocess.run(build, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (built,) = out.glob("*.whl")
    return built


def read_from(place: Path, cache: Path) -> list[str]:
    """Return what a Python that finds the package in `place` reads."""
    return run_from(place, cache, READ)


def run_from(place: Path, cache: Path, code: str) -> list[str]:
    """Return what a Python that finds the package in `place` prints."""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=cache,
        env={**os.environ, "PYTHONPATH": str(place), "XDG_CACHE_HOME": str(cache)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.split("\n")


def test_the_grammar_is_found_in_a_checkout(tmp_path: Path) -> None:
    where, size, statements, _ = read_from(ROOT, tmp_path)
    assert Path(where).is_relative_to(ROOT)
    assert int(size) == len((ROOT / "grammar" / "stage.lark").read_text("utf-8"))
    assert statements == "1"


def test_the_grammar_is_found_in_an_unpacked_wheel(wheel: Path, tmp_path: Path) -> None:
    with ZipFile(wheel) as packed:
        packed.extractall(tmp_path / "site")
    where, size, statements, _ = read_from(tmp_path / "site", tmp_path)
    assert Path(where).is_relative_to(tmp_path)
    assert int(size) == len((ROOT / "grammar" / "stage.lark").read_text("utf-8"))
    assert statements == "1"


def test_the_grammar_is_found_in_a_wheel_that_stays_packed(
    wheel: Path, tmp_path: Path
) -> None:
    where, size, statements, _ = read_from(wheel, tmp_path)
    assert where.startswith(str(wheel))
    assert int(size) == len((ROOT / "grammar" / "stage.lark").read_text("utf-8"))
    assert statements == "1"


def test_font_and_widths_are_in_the_wheel_unmodified(wheel: Path) -> None:
    place = "tracegraph/draw/font"
    own = sorted(path.name for path in (ROOT / place).iterdir())
    assert {
        "DejaVuSans.ttf",
        "DejaVuSans-Bold.ttf",
        "LICENSE.txt",
        "widths.json",
    } == set(own)
    with ZipFile(wheel) as packed:
        for name in own:
            assert packed.read(f"{place}/{name}") == (ROOT / place / name).read_bytes()


def test_a_picture_is_drawn_from_a_wheel_that_stays_packed(
    wheel: Path, tmp_path: Path
) -> None:
    code = (
        "import sys, tracegraph\n"
        "from tracegraph.views.picture import WRITERS, drawing\n"
        "drawn = drawing(tracegraph.read('ground COM\\nR1 10k A -- COM\\n'))\n"
        "print(tracegraph.__file__, *(len(w(drawn, False)[0]) for w in WRITERS.values()))"
    )
    where, *sizes = run_from(wheel, tmp_path, code)[0].split()
    assert where.startswith(str(wheel))
    assert all(int(size) > 1000 for size in sizes)
