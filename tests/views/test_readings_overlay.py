"""The readings laid over the drawing: the display, or `?` where an unknown decides."""

from dataclasses import replace

import pytest

import tracegraph
from tests.views.expectations import FAILED, OPEN, PLAIN, REST_OPEN
from tracegraph.draw.overlay import OnNet, Overlay, Role
from tracegraph.meter.profile_file import find_meter
from tracegraph.stage.reading import Mode
from tracegraph.views.readings_overlay import TITLE, reading_mark, readings_overlay

SMALL = """\
ground COM
ground ISO
rail P12 12V
rest P12 -- COM none
R1 10k GATE -- COM
D1 diode GATE -> COM
R2 ? P12 -- FB
R3 1k FB -- COM
R4 4k7 SENSE -- ISO
R5 1k LOOSE -- ELSE
"""


@pytest.fixture(scope="module")
def overlay() -> Overlay:
    return readings_overlay(tracegraph.read(SMALL), find_meter("handheld"))


def shown(overlay: Overlay) -> dict[str, str]:
    found = {}
    for mark in overlay.marks:
        assert isinstance(mark.target, OnNet)
        found[mark.target.net] = mark.text
    return found


def test_a_net_reads_ohms_and_diode_to_its_own_ground(overlay: Overlay) -> None:
    texts = shown(overlay)
    # A silicon diode at about 1 mA drops some 0.6 V: common practice, no source.
    ohms, diode = texts["GATE"].split(" · ")
    assert ohms == "10 k"
    assert 0.5 < float(diode.removesuffix(" V")) < 0.7
    assert texts["SENSE"] == "4.7 k · OL"


def test_black_stands_on_the_nearest_ground(overlay: Overlay) -> None:
    more = {mark.target: mark.more for mark in overlay.marks}
    assert more[OnNet("SENSE")].startswith("Red on SENSE, black on ISO.\nohms 4.7 k")
    assert more[OnNet("GATE")].startswith("Red on GATE, black on COM.\nohms 10 k")


def test_grounds_and_what_no_ground_reaches_have_no_mark(overlay: Overlay) -> None:
    assert set(shown(overlay)) == {"P12", "GATE", "FB", "SENSE"}


def test_every_mark_is_a_reading(overlay: Overlay) -> None:
    assert overlay.title == TITLE
    assert {mark.role for mark in overlay.marks} == {Role.READING}
    assert (overlay.ghosts, overlay.joins) == ((), ())


def test_an_unknown_value_leaves_a_question(overlay: Overlay) -> None:
    assert shown(overlay)["P12"] == "?"
    (mark,) = (one for one in overlay.marks if one.target == OnNet("P12"))
    assert "R2" in mark.more
    assert overlay.legend[1].startswith("?  an unknown decides")


def test_the_answer_is_the_one_that_expect_gives() -> None:
    stage = tracegraph.read("examples/treadmill-gate-drive.trace")
    texts = shown(readings_overlay(stage, find_meter("handheld")))
    answers = [tracegraph.expect(stage, "GATE", "COM", mode)[0] for mode in MODES]
    assert texts["GATE"] == " · ".join(one.display for one in answers)


MODES = (Mode.OHMS, Mode.DIODE)


def test_a_mark_tells_the_window_and_why() -> None:
    mark = reading_mark("GATE", (PLAIN, replace(OPEN, red="GATE", black="COM")))
    assert mark.text == "22 k · OL"
    assert mark.more == (
        "Red on GATE, black on COM.\n"
        "ohms 22 k (21.7 to 22.3 k if healthy; 20.9 to 23.1 k at the very limits); "
        "R27 22 k.\n"
        "diode OL; D11 blocks."
    )


def test_where_an_unknown_decides_the_mark_asks() -> None:
    mark = reading_mark("GATE", (PLAIN, REST_OPEN))
    assert mark.text == "22 k · ?"
    assert "0.72 V, 1.15 V or OL" in mark.more
    assert "depends on what else hangs on P12; measure P12-COM" in mark.more
    assert "watch it: 0.67 V at first" in mark.more


def test_no_answer_is_never_a_number() -> None:
    mark = reading_mark("GATE", (FAILED, FAILED))
    assert mark.text == "?"
    assert "no answer was found between COM and GATE" in mark.more


def test_a_meter_without_a_mode_shows_the_other() -> None:
    stage = tracegraph.read("ground COM\nR1 10k GATE -- COM\n")
    profile = find_meter("handheld")._replace(diode=None)
    assert shown(readings_overlay(stage, profile)) == {"GATE": "10 k"}
