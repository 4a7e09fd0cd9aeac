"""The sheet: what is worth probing, in which order."""

from tracegraph.meter.profile_file import built_in
from tracegraph.meter.sheet import sheet
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode

HANDHELD = built_in()["handheld"]
TEXT = """\
ground COM
rail P12 12V
input PWM 0V / 5V via 220R
R1 1k PWM -- B
R2 10k B -- COM
Q1 npn b=B c=N e=COM
R3 2k2 P12 -- N
D1 diode N -> OUT
R4 10k OUT -- COM
"""


def test_rest_readings_come_first() -> None:
    rows = sheet(read(from_text("bench", TEXT)), HANDHELD)
    reasons = [row.why for row in rows]
    rests = [row for row in rows if row.why == "rest"]
    assert reasons[: len(rests)] == ["rest"] * len(rests)
    assert {(row.forward.red, row.forward.black) for row in rests} == {
        ("P12", "COM"),
        ("PWM", "COM"),
    }


def test_both_directions_stand_side_by_side() -> None:
    for row in sheet(read(from_text("bench", TEXT)), HANDHELD):
        assert row.forward.red == row.backward.black
        assert row.forward.black == row.backward.red
        assert row.forward.mode is row.backward.mode


def test_a_short_sheet_is_the_beginning_of_the_whole() -> None:
    stage = read(from_text("bench", TEXT + "rest P12 -- COM 1k\nnothing on PWM\n"))
    whole = {
        (r.forward.red, r.forward.black, r.forward.mode) for r in sheet(stage, HANDHELD)
    }
    short = sheet(stage, HANDHELD, short=4)
    assert len(short) == 4
    assert {(r.forward.red, r.forward.black, r.forward.mode) for r in short} <= whole


def test_a_few_rows_test_every_part() -> None:
    stage = read(from_text("bench", TEXT + "rest P12 -- COM 1k\nnothing on PWM\n"))
    rows = sheet(stage, HANDHELD, short=8)
    tested = {
        ref for row in rows for one in (row.forward, row.backward) for ref in one.parts
    }
    assert {"R1", "R2", "Q1", "R3", "D1", "R4"} <= tested


def test_all_means_every_pair_in_both_modes() -> None:
    stage = read(from_text("bench", "ground G\nR1 1k A -- G\nR2 1k A -- B\n"))
    rows = sheet(stage, HANDHELD, every=True)
    assert len(rows) == 3 * 2
    assert {row.forward.mode for row in rows} == {Mode.OHMS, Mode.DIODE}
