"""Two logs side by side: what differs by more than healthy sisters do, and by which parts."""

from random import Random

import pytest

from tests.compare.test_library import example
from tracegraph.compare.by_readings import PairCompared, compare_readings
from tracegraph.compare.logs import Logs
from tracegraph.compare.sisters import sisters
from tracegraph.meter.profile_file import find_meter
from tracegraph.meter.sister import sisters_apart
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

METER = find_meter("handheld")
DRIVE = """ground COM
R1 22R DRV -- GATE
R2 10k GATE -- COM
D1 diode COM -> GATE
C1 100n DRV -- COM
nothing on DRV
readings "{title}"
{rows}
"""


def board(title: str, *rows: str) -> Stage:
    return read(from_text(title, DRIVE.format(title=title, rows="\n".join(rows))))


def side_by_side(
    good: tuple[str, ...], suspect: tuple[str, ...]
) -> tuple[PairCompared, ...]:
    return compare_readings(Logs(board("good", *good), board("bad", *suspect)), METER)


def test_a_resistor_gone_low_is_told_by_its_ratio_and_named() -> None:
    (one,) = side_by_side(("ohms GATE COM 10.0k",), ("ohms GATE COM 3.3k",))
    assert one.ratio == pytest.approx(0.33)
    assert one.within is False
    assert one.double_or_half is False
    assert one.differs
    assert "R2" in one.parts
    assert (one.good, one.suspect) == ("10 k", "3.3 k")


def test_within_double_or_half_our_window_is_narrower() -> None:
    (one,) = side_by_side(("ohms GATE COM 10.0k",), ("ohms GATE COM 6.5k",))
    assert one.double_or_half
    assert one.within is False
    assert one.differs


def test_what_tolerance_explains_does_not_differ() -> None:
    (one,) = side_by_side(("ohms GATE COM 9.8k",), ("ohms GATE COM 10.3k",))
    assert one.within
    assert not one.differs
    assert 0 < one.off < 1


def test_the_window_of_one_resistor_is_twice_its_tolerance_at_most() -> None:
    # Two resistors of 5 %, each evenly spread: their ratio's 99.7 % is a triangle's,
    # +-(2 - 2 sqrt(0.003)) x 5 % = 9.45 % (any textbook of probability).
    stage = read(from_text("one", "ground COM\nR1 10k 5% A -- COM\n"))
    (apart,) = sisters_apart(stage, [("A", "COM")], Mode.OHMS, METER)
    digits = 2 * 10.0 / 10e3
    assert apart.high - 1 == pytest.approx(0.0945 + digits, abs=0.006)
    assert 1 - apart.low == pytest.approx(0.0945 + digits, abs=0.01)
    assert not apart.junction


def test_junctions_of_sisters_lie_within_part_to_part_spread_not_the_ambients() -> None:
    # Two junctions 15 mV apart from type, evenly spread: 0.945 of 30 mV, and a digit.
    stage = read(from_text("one", "ground COM\nD1 diode A -> COM\n"))
    (apart,) = sisters_apart(stage, [("A", "COM")], Mode.DIODE, METER)
    assert apart.junction
    assert apart.high == pytest.approx(0.0284, abs=0.003)
    assert apart.low == pytest.approx(-0.0284, abs=0.003)


def test_a_junction_is_compared_in_millivolts() -> None:
    near, far = "diode COM GATE 0.58", "diode COM GATE 0.46"
    (one,) = side_by_side((near,), ("diode COM GATE 0.59",))
    assert one.volts == pytest.approx(0.01)
    assert one.ratio is None
    assert one.double_or_half is None
    assert not one.differs
    (other,) = side_by_side((near,), (far,))
    assert other.differs
    assert "D1" in other.parts


def test_open_against_a_number_goes_first() -> None:
    found = side_by_side(
        ("ohms GATE COM 10.0k", "diode COM GATE 0.58", "ohms DRV GATE 22"),
        ("ohms GATE COM 7k", "diode COM GATE OL", "ohms DRV GATE 22"),
    )
    assert [(one.mode, one.differs) for one in found] == [
        (Mode.DIODE, True),
        (Mode.OHMS, True),
        (Mode.OHMS, False),
    ]
    assert found[0].ratio is None
    assert found[0].volts is None


def test_open_on_both_is_alike_and_so_is_more_than_the_meter_shows() -> None:
    found = side_by_side(
        ("diode GATE COM OL", "ohms DRV COM > 20M"),
        ("diode GATE COM OL", "ohms DRV COM OL"),
    )
    assert [one.differs for one in found] == [False, False]


def test_only_what_both_have_read_with_the_bench_alike_is_compared() -> None:
    found = side_by_side(
        ("ohms GATE COM 10.0k", "ohms DRV COM 10.0k", "ohms GATE COM OL without R2"),
        ("ohms GATE COM 10.0k", "ohms GATE DRV 22", "ohms DRV GATE climbs 2k"),
    )
    assert [(one.red, one.black, one.differs) for one in found] == [
        ("GATE", "COM", False)
    ]


def test_the_last_reading_of_a_pair_counts() -> None:
    (one,) = side_by_side(
        ("ohms GATE COM 10.0k",), ("ohms GATE COM 1.0k", "ohms GATE COM 9.9k")
    )
    assert not one.differs


def test_a_beep_against_silence_differs() -> None:
    (one,) = side_by_side(("beep DRV GATE yes",), ("beep DRV GATE no",))
    assert one.differs
    assert (one.good, one.suspect) == ("beep", "no beep")


def test_phases_are_compared_within_one_file_and_name_the_suspects_own_parts() -> None:
    text = example("solar-pump-half-bridge").source
    assert text
    rows = (
        "\nreadings\n  ohms GL_U SRC 10.0k\n  ohms GL_V SRC 4.7k\n"
        "  diode PH_U PV+ 0.47\n  diode PH_V PV+ 0.47\n"
        "  diode SRC PH_U 0.47\n  diode SRC PH_V 0.12\n"
    )
    stage = read(from_text("pump", text.text + rows))
    pair = sisters(stage, "V", "U")
    found = compare_readings(Logs(stage, stage, pair.nets, pair.parts), METER)
    by_place = {(*one.there, one.mode): one for one in found}
    gate = by_place["GL_V", "SRC", Mode.OHMS]
    assert gate.differs
    assert gate.red == "GL_U"
    assert "R45" in gate.parts
    body = by_place["SRC", "PH_V", Mode.DIODE]
    assert body.differs
    assert "Q42" in body.parts
    assert not by_place["PH_V", "PV+", Mode.DIODE].differs
    assert not by_place["GH_V", "PH_V", Mode.OHMS].differs


def test_two_healthy_boards_drawn_at_random_seldom_differ() -> None:
    # Two resistors inside their 5 %: of 3000 pairs 0.3 % may lie out, and few are near.
    dice = Random(3)
    stage = read(from_text("one", "ground COM\nR1 10k 5% A -- COM\n"))
    (apart,) = sisters_apart(stage, [("A", "COM")], Mode.OHMS, METER)
    ratios = [dice.uniform(0.95, 1.05) / dice.uniform(0.95, 1.05) for _ in range(3000)]
    outside = sum(not apart.low <= one <= apart.high for one in ratios)
    assert outside <= 0.006 * len(ratios)
    assert max(ratios) > 0.98 * apart.high  # the window is no wider than it must be
