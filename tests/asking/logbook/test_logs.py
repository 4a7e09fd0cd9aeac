"""Logs in files of their own: all that can be read counts, the rest is told."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.asking.logbook.benches import board
from tracegraph.asking.logbook.files import text_of
from tracegraph.asking.logbook.logs import Logged, with_logs, with_texts
from tracegraph.asking.sources import UnreadableError, source_of
from tracegraph.stage.read import read
from tracegraph.stage.reading import Block, Event, Mode, Reading, Shown
from tracegraph.stage.shown import shown
from tracegraph.views.problems import problems_text

HERE = Path(__file__).parent
CORPUS = sorted((HERE / "corpus").glob("*.*"))


def logged(*texts: str | bytes, name: str = "evening.trace") -> Logged:
    data = (text if isinstance(text, bytes) else text.encode() for text in texts)
    return with_texts(board(), [text_of(name, one) for one in data])


def readings(found: Logged) -> list[Reading]:
    """Return what the logs add to the board's own reading."""
    blocks = [entry for entry in found.stage.log if isinstance(entry, Block)]
    return [one for block in blocks for one in block.readings][1:]


def told(found: Logged) -> list[str]:
    return [one.code for log in found.told for one in log.problems]


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: path.name)
def test_what_is_taken_of_a_log_and_what_is_said(
    path: Path, golden: Callable[[str, str], None]
) -> None:
    found = with_texts(board(), [text_of(path.name, path.read_bytes())])
    lines = [
        f"  {one.mode} {one.red} {one.black} {shown(one)}" for one in readings(found)
    ]
    text = "\n".join(["taken:", *(lines or ["  nothing"])]) + "\n"
    for log in found.told:
        told = problems_text(log.problems, log.source)
        text += f"\n{told}\n" if told else "\nnothing to say\n"
    golden(f"logs/{path.name}.txt", text)


def test_readings_of_logs_stand_behind_those_of_the_section_in_the_order_given() -> (
    None
):
    found = logged("ohms B1 COM 12k\n", "removed Q13\nohms N1 P12 1k0\n")
    first, second, event, third = found.stage.log
    assert isinstance(first, Block)
    assert isinstance(second, Block)
    assert isinstance(event, Event)
    assert isinstance(third, Block)
    assert [home.name if home else "" for home in found.homes] == [
        "",
        *["evening.trace"] * 3,
    ]
    assert [one.red for one in readings(found)] == ["B1", "N1"]
    assert not told(found)


def test_no_log_leaves_the_section_as_it_is() -> None:
    assert with_logs(board(), []).stage == board()


def test_files_are_read_once_and_the_sections_own_never_again(tmp_path: Path) -> None:
    (tmp_path / "board.trace").write_bytes((HERE / "board.trace").read_bytes())
    (tmp_path / "a.trace").write_text("ohms B1 COM 12k\n")
    stage = read(source_of(tmp_path / "board.trace"))
    paths = [tmp_path / "a.trace", tmp_path / "board.trace", tmp_path / "." / "a.trace"]
    found = with_logs(stage, paths)
    assert len(readings(found)) == 1
    assert len(found.told) == 1


@pytest.mark.parametrize(
    ("cell", "mode", "expected", "resolution"),
    [
        ("OL", "diode", Shown.OPEN, 0),
        (".482", "diode", 0.482, 0.001),
        ("482", "diode", 0.482, 0.001),
        ('"0,48"', "diode", 0.48, 0.01),
        ("> 20M", "ohms", 20e6, 1e6),
        (">20 M", "ohms", 20e6, 1e6),
        ("2k2", "ohms", 2200, 100),
        ("22 k", "ohms", 22e3, 1e3),
        ("4.70 kΩ", "ohms", 4700, 10),
        ("1.80E+03", "ohms", 1800, 10),
        ("b", "beep", Shown.BEEP, 0),
        ("no beep", "continuity", Shown.SILENT, 0),
        ("100 nF", "capacitance", 1e-7, 1e-9),
        ("-0.02 V", "DC volts", -0.02, 0.01),
        ("612 mV", "diode test", 0.612, 0.001),
        ("climbs", "Ω", Shown.CLIMBS, 0),
    ],
)
def test_a_cell_is_read_as_a_display_is(
    cell: str, mode: str, expected: float | Shown, resolution: float
) -> None:
    found = logged(f"red,black,mode,reading\nGATE,COM,{mode},{cell}\n")
    (one,) = readings(found)
    assert set(told(found)) <= {"readings-differ"}
    assert one.shown == (
        expected if isinstance(expected, Shown) else pytest.approx(expected)
    )
    assert one.resolution == pytest.approx(resolution)
    assert one.mode in Mode


@pytest.mark.parametrize(
    "head",
    [
        "mode;READING;Black;Red",
        "Mode,Value,-,+",
        "range\tmeasured\tBlack probe\tRed probe",
        '"mode" , "Display (SI)" , "black lead" , "red lead"',
    ],
)
def test_columns_stand_in_any_order_under_the_usual_names(head: str) -> None:
    mark = next(one for one in ("\t", ";", ",") if one in head)
    row = mark.join(("ohms", "12k", "COM", "B1"))
    (one,) = readings(logged(f"{head}\n{row}\n"))
    assert (one.red, one.black, one.shown) == ("B1", "COM", 12e3)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_a_spreadsheets_bytes_are_fine(encoding: str, ends: str) -> None:
    text = ends.join(("# µ", "red;black;mode;reading", "B1;COM;ohms;12,1k", ""))
    (one,) = readings(logged(text.encode(encoding), name="log.csv"))
    assert one.shown == pytest.approx(12100)


def test_a_sheet_that_was_filled_in_is_a_log() -> None:
    from tracegraph.meter.profile_file import find_meter
    from tracegraph.meter.sheet import sheet
    from tracegraph.views.sheet_csv import sheet_csv

    rows = sheet(board(), find_meter("handheld"), short=4)
    empty = sheet_csv(rows)
    assert not readings(logged(empty, name="sheet.csv"))
    filled = "".join(
        f"{line}{'OL' if k else ''}\n" for k, line in enumerate(empty.splitlines())
    )
    found = readings(logged(filled, name="sheet.csv"))
    wanted = [way for row in rows for way in (row.forward, row.backward)]
    assert [(one.red, one.black, one.mode) for one in found] == [
        (one.red, one.black, one.mode) for one in wanted
    ]


def test_places_of_problems_lie_in_the_log_itself() -> None:
    (log,) = logged("red;black;mode;reading\nB1;COMM;ohms;12k\n", name="a.csv").told
    (problem,) = log.problems
    assert problem.span is not None
    line = log.source.line(problem.span.line)
    assert line[problem.span.column - 1 : problem.span.end - 1] == "COMM"
    assert problem.hint == "Did you mean COM?"


def test_a_meter_named_once_holds_for_all_below() -> None:
    found = logged('meter "needle"\nohms B1 COM 12k\nreadings "b"\nohms N1 P12 1k\n')
    assert {one.meter for one in readings(found)} == {"needle"}


SISTERS = """\
ground COM
channel U
  R31 10R U_IN -- U_GATE
  R32 10k U_GATE -- COM
end
channel V like U R31=R41 R32=R42
"""


def test_a_log_of_a_sister_may_use_the_names_of_the_first() -> None:
    from tracegraph.notation.source import from_text

    stage = read(from_text("sisters.trace", SISTERS))
    text = "channel V\nohms U_GATE COM 10k lifted R31.1\nend\nohms U_GATE COM 9k9\n"
    found = with_texts(stage, [text_of("v.trace", text.encode())])
    (block,) = found.stage.log
    assert isinstance(block, Block)
    assert [one.red for one in block.readings] == ["V_GATE", "U_GATE"]
    assert [str(change.pin) for change in block.readings[0].condition.changes] == [  # type: ignore[union-attr]
        "R41.1"
    ]


@pytest.mark.parametrize(
    "data", [b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\1", b"a\0b", b"\1\2x"]
)
def test_what_is_no_text_is_refused(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "log.trace"
    path.write_bytes(data)
    with pytest.raises(UnreadableError, match="holds no text"):
        with_logs(board(), [path])


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="there is no file"):
        with_logs(board(), [tmp_path / "none.trace"])
    with pytest.raises(UnreadableError, match="folder"):
        with_logs(board(), [tmp_path])
