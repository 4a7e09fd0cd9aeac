"""`tracegraph wave`: the page, the picture, and what is refused in words."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import ROOT, Run
from tests.waves.bench import BARE
from tracegraph.cli import main

GATE = ROOT / "examples" / "treadmill-gate-drive.trace"
HEADS = {".svg": b"<svg ", ".png": b"\x89PNG\r\n\x1a\n", ".pdf": b"%PDF-"}
Board = Callable[[str], Path]


@pytest.fixture
def bare(board: Board) -> Path:
    return board(BARE)


def test_a_live_section_has_its_cautions_in_front(run: Run) -> None:
    done = run("wave", GATE, "--at", "GATE", "--periods", "2")
    head = " ".join(done.out[: done.out.index("|")].split())
    assert "HV+ stands at 320 V" in head
    assert "earth clip" in head
    assert "your local rules and licence decide" in head


@pytest.mark.parametrize("ending", HEADS)
def test_the_picture_is_written_by_its_ending(
    run: Run, bare: Path, tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"wave{ending}"
    done = run("wave", bare, "--at", "PWM", "-o", path)
    assert done.code == 0
    assert path.read_bytes().startswith(HEADS[ending])
    assert "drawn:" in done.err
    assert "rise 10-90 %" in done.out


def test_json_holds_the_trace_and_its_measures(run: Run, bare: Path) -> None:
    done = run("wave", bare, "--at", "PWM", "--json", "--without", "R3")
    told = json.loads(done.out)
    assert (told["command"], told["format"]) == ("wave", 1)
    (found,) = told["results"]
    assert found["net"] == "PWM"
    assert found["asked"]["measures"]["hertz"] == pytest.approx(20e3, rel=1e-3)
    assert len(found["asked"]["seconds"]) == len(found["asked"]["volts"])
    assert found["healthy"]["gate"]["charge"] > 0
    assert found["bench"] == ["without R3"]


def test_a_dc_net_is_told_with_its_level(run: Run, bare: Path) -> None:
    done = run("wave", bare, "--at", "BUS")
    assert done.code == 0
    text = " ".join(done.out.split())
    assert "DC only: nothing in this section switches BUS; its level is 48 V" in text
    assert "|" not in done.out


def test_a_picture_on_standard_output_stands_alone(
    bare: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["wave", str(bare), "--at", "PWM", "-o", "-"]) == 0
    out = capsysbinary.readouterr().out
    assert out.startswith(b"<svg ")
    assert out.endswith(b"</svg>\n")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--at", "PMW"), "there is no net or pin PMW; did you mean PWM?"),
        (("--at", "PWM", "--without", "Q9"), "no part Q9"),
        (("--at", "PWM", "--state", "run"), "there is no state run"),
        (("--at", "PWM", "-o", "wave.jpg"), "can't be written"),
        (("--at", "PWM", "--in", "run"), "there is no state run"),
        ((), "--at"),
    ],
)
def test_what_cannot_be_answered_is_refused(
    run: Run, bare: Path, words: tuple[str, ...], said: str
) -> None:
    done = run("wave", bare, *words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err


def test_an_input_without_a_frequency_says_what_to_write(
    run: Run, board: Board
) -> None:
    path = board(
        "ground COM\ninput PWM 0V / 5V via 220R\nR1 1k PWM -- A\nR2 1k A -- COM\n"
    )
    done = run("wave", path, "--at", "A")
    assert done.code == 2
    assert "`input PWM 0V / 5V via 220R 18kHz 45%`" in done.err
