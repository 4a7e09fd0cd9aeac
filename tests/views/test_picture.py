"""The picture as Python and notebooks ask for it."""

import subprocess
import sys
from pathlib import Path

import pytest

import tracegraph
from tests.views.drawings import small, two_sheets
from tracegraph.draw.drawing import Drawing
from tracegraph.stage.stage import Stage
from tracegraph.views.picture import WRITERS, drawing, svg
from tracegraph.views.svg import svg_of

ROOT = Path(__file__).parents[2]
SMALL = "ground COM\nR1 10k GATE -- COM\n"
HEADS = {".svg": b"<svg ", ".png": b"\x89PNG", ".pdf": b"%PDF-"}


def alone(code: str) -> list[str]:
    """Return what a Python of its own prints."""
    command = [sys.executable, "-c", code]
    done = subprocess.run(
        command, cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def test_a_picture_is_that_of_its_drawing() -> None:
    stage = tracegraph.read(SMALL)
    assert svg(stage) == svg_of(drawing(stage))
    assert svg(stage, dark=True) == svg_of(drawing(stage), dark=True)
    assert 'data-pin="R1.1"' in svg(stage)


def test_readings_are_laid_over_it_with_any_meter() -> None:
    stage = tracegraph.read(SMALL)
    assert 'data-role="reading"' not in svg(stage)
    assert 'data-role="reading"' in svg(stage, readings=True, meter="needle")
    with pytest.raises(tracegraph.UnknownMeterError):
        svg(stage, readings=True, meter="nobody's")


@pytest.mark.parametrize("ending", WRITERS)
def test_a_writer_gives_a_file_a_sheet_but_for_pdf(ending: str) -> None:
    one, two = Drawing("one", (small(),)), two_sheets()
    assert set(HEADS) == set(WRITERS)
    files = WRITERS[ending](two, False)
    assert len(WRITERS[ending](one, False)) == 1
    assert len(files) == (1 if ending == ".pdf" else 2)
    assert all(file.startswith(HEADS[ending]) for file in files)
    assert WRITERS[ending](two, True) != files


def test_a_notebook_shows_a_section_as_its_picture() -> None:
    stage = tracegraph.read(SMALL)
    assert stage._repr_svg_() == tracegraph.svg(stage)


@pytest.mark.parametrize("how", ["read({!r})", "Stage()"])
def test_a_section_shows_however_it_was_come_by(how: str) -> None:
    code = f"import tracegraph; print(tracegraph.{how.format(SMALL)}._repr_svg_()[:4])"
    assert alone(code) == ["<svg"]


def test_a_section_alone_does_not_know_who_draws(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Stage, "painter", None)
    assert Stage()._repr_svg_() is None


def test_reading_a_section_loads_nothing_that_draws() -> None:
    code = (
        "import sys, tracegraph\n"
        f"tracegraph.read({SMALL!r})\n"
        "print(*(name for name in sys.modules if name.startswith((\n"
        "    'tracegraph.draw', 'tracegraph.views', 'graphviz', 'resvg', 'reportlab'))))"
    )
    assert alone(code) == []
