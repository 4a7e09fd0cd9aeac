"""`tracegraph draw`: where the picture goes, what is said, and what is refused."""

import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest

from tests.cli.conftest import ROOT, Run
from tests.views.drawings import two_sheets
from tracegraph.cli.section import section_of
from tracegraph.draw import dot
from tracegraph.draw.drawing import Drawing
from tracegraph.stage.stage import Stage
from tracegraph.views import picture

GATE = ROOT / "examples" / "treadmill-gate-drive.trace"
SMALL = "ground COM\nrail P12 12V\nR1 1k P12 -- OUT\nD1 diode OUT -> COM\n"
HEADS = {".svg": b"<svg ", ".png": b"\x89PNG\r\n\x1a\n", ".pdf": b"%PDF-"}
Board = Callable[[str], Path]


@pytest.fixture
def bench(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Return a runner of commands in an empty folder."""
    place = tmp_path / "bench"
    place.mkdir()
    monkeypatch.chdir(place)
    return run


@pytest.fixture
def large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every section take two sheets."""

    def drawing(_stage: Stage, *_layers: object) -> Drawing:
        return two_sheets()

    monkeypatch.setattr(picture, "drawing", drawing)


def test_the_picture_lands_here_under_the_sections_name(bench: Run) -> None:
    done = bench("draw", GATE)
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("drawn: treadmill-gate-drive.svg\n")
    text = Path("treadmill-gate-drive.svg").read_text("utf-8")
    assert 'data-pin="Q24.g"' in text
    assert [path.name for path in Path().iterdir()] == ["treadmill-gate-drive.svg"]


@pytest.mark.parametrize("ending", HEADS)
def test_the_ending_says_what_is_written(bench: Run, ending: str) -> None:
    done = bench("draw", GATE, "-o", f"board{ending.upper()}")
    assert done.code == 0
    assert Path(f"board{ending.upper()}").read_bytes().startswith(HEADS[ending])


def test_what_to_heed_is_said_with_the_picture(bench: Run, board: Board) -> None:
    assert "CAUTION: HV+ stands at 320 V" in bench("draw", GATE).out
    assert bench("draw", board(SMALL)).out == "drawn: board.svg\n"


def test_standard_output_takes_the_picture_alone(bench: Run) -> None:
    done = bench("draw", GATE, "-o", "-")
    assert done.out.startswith("<svg ")
    assert done.out.endswith("</svg>\n")
    assert "CAUTION" in done.err
    assert list(Path().iterdir()) == []


@pytest.mark.usefixtures("large")
@pytest.mark.parametrize("ending", [".svg", ".png"])
def test_every_sheet_is_a_file_of_its_own(bench: Run, ending: str) -> None:
    done = bench("draw", GATE, "-o", f"big{ending}")
    names = [f"big-1{ending}", f"big-2{ending}"]
    assert done.out.splitlines()[:2] == [f"drawn: {name}" for name in names]
    assert sorted(path.name for path in Path().iterdir()) == names


@pytest.mark.usefixtures("large")
def test_pdf_keeps_its_sheets_together(bench: Run) -> None:
    assert bench("draw", GATE, "-o", "big.pdf").out.startswith("drawn: big.pdf\n")
    assert [path.name for path in Path().iterdir()] == ["big.pdf"]


@pytest.mark.usefixtures("large")
def test_standard_output_takes_the_sheets_one_above_the_other(bench: Run) -> None:
    assert bench("draw", GATE, "-o", "-").out.count('data-sheet="') == 2


def test_dark_is_dark(bench: Run) -> None:
    light, dark = (
        bench("draw", GATE, "-o", "-", *more).out for more in ((), ("--dark",))
    )
    assert 'fill="#14181d"' in dark
    assert 'fill="#14181d"' not in light


def test_readings_stand_in_the_picture(bench: Run) -> None:
    plain, read = (
        bench("draw", GATE, "-o", "-", *more).out for more in ((), ("--readings",))
    )
    assert 'data-role="reading"' not in plain
    assert 'data-role="reading" data-layer="0" data-target="GATE"' in read
    assert "0.679 V" in read


def test_a_graph_is_dot_on_standard_output(bench: Run) -> None:
    done = bench("draw", GATE, "--graph")
    assert done.out.startswith("graph section {")
    assert "CAUTION" in done.err


@pytest.mark.parametrize(
    ("name", "head"), [("a.dot", "graph "), ("a.gv", "graph "), ("a.svg", "<?xml")]
)
def test_a_graph_is_written_by_its_ending(bench: Run, name: str, head: str) -> None:
    assert bench("draw", GATE, "--graph", "-o", name).code == 0
    assert Path(name).read_text("utf-8").startswith(head)


def test_what_is_lost_of_the_file_is_told_and_the_rest_drawn(
    bench: Run, board: Board
) -> None:
    done = bench("draw", board(f"{SMALL}R9 4k7zz OUT -- COM\n"))
    assert done.code == 1
    assert "Line 5 is not understood" in done.err
    assert 'data-ref="R1"' in Path("board.svg").read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("-o", "a.jpg"), "a.jpg: a .jpg file can't be written"),
        (("-o", "a"), "a file without an ending can't be written; known: .svg, .png"),
        (("-o", "a.svgz"), "did you mean .svg?"),
        (("-o", "none/a.svg"), "can't be written: there is no such folder"),
        (("-o", "folder.svg"), "can't be written: it is a folder"),
        (("--graph", "-o", "a.png"), "known: .dot, .gv, .svg"),
        (("--graph", "--dark"), "--graph is plain"),
        (("--graph", "--readings"), "--graph is plain"),
        (("--graph", "--suspects"), "--graph is plain"),
        (("a.csv",), "a.csv holds readings for --suspects: add it"),
        (("--suspects", "a.csv"), "there is no file a.csv"),
        (("--meter", "needle"), "--meter is for --readings"),
        (("--readings", "--meter", "nedle"), "there is no meter called nedle"),
        (("-o", "-", "--open"), "--open needs a file"),
        (("--drak",), "did you mean --dark?"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    bench: Run, words: tuple[str, ...], said: str
) -> None:
    Path("folder.svg").mkdir()
    done = bench("draw", GATE, *words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert done.err.count("\n") == 1
    assert [path.name for path in Path().iterdir()] == ["folder.svg"]


@pytest.mark.skipif(sys.platform == "win32", reason="rights are others there")
def test_a_folder_that_may_not_be_written_is_told(
    bench: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_path: Path, _data: bytes) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "write_bytes", refuse)
    done = bench("draw", GATE)
    assert done.code == 2
    assert "can't be written: it is not allowed here" in done.err


def test_the_section_itself_is_never_written_over(bench: Run) -> None:
    own = Path("section.svg")  # an odd name for a section, but a lawful one
    own.write_text(SMALL, "utf-8")
    done = bench("draw", own)
    assert done.code == 2
    assert "is the section itself" in done.err
    assert own.read_text("utf-8") == SMALL


def test_a_picture_is_drawn_anew_over_the_old_one(bench: Run, board: Board) -> None:
    for text in (SMALL, SMALL + "R2 1k OUT -- COM\n"):
        section_of.cache_clear()  # another run of the command
        assert bench("draw", board(text)).code == 0
    assert 'data-ref="R2"' in Path("board.svg").read_text("utf-8")


def test_it_is_opened_by_what_the_system_has(
    bench: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []

    def launch(path: str) -> int:
        shown.append(path)
        return 0

    monkeypatch.setattr(click, "launch", launch)
    done = bench("draw", GATE, "--open")
    assert (done.code, done.err) == (0, "")
    assert shown == [str(Path("treadmill-gate-drive.svg").resolve())]


@pytest.mark.parametrize("fault", [1, OSError("no display")])
def test_where_nothing_opens_it_that_is_said(
    bench: Run, monkeypatch: pytest.MonkeyPatch, fault: int | OSError
) -> None:
    def launch(_path: str) -> int:
        if isinstance(fault, OSError):
            raise fault
        return fault

    monkeypatch.setattr(click, "launch", launch)
    done = bench("draw", GATE, "--open")
    assert done.code == 0
    assert "nothing here opens treadmill-gate-drive.svg by itself" in done.err


def test_without_graphviz_it_is_said_what_to_install(
    bench: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing() -> Path:
        raise dot.NoDotError

    monkeypatch.setattr(dot, "program", missing)
    done = bench("draw", GATE, "--graph", "-o", "a.svg")
    assert done.code == 2
    assert "pip install graphviz-pure" in done.err


def test_without_the_renderer_svg_is_offered(
    bench: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    done = bench("draw", GATE, "-o", "a.png")
    assert done.code == 2
    assert "SVG and PDF need nothing more" in done.err
