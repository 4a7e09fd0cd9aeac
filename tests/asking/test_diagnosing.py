"""One section asked about again: the work goes on, the answer is that of its own log."""

from dataclasses import replace

from tracegraph.asking.diagnosing import advised, diagnosed
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import AS_IT_LIES, Block, Mode, Reading, Shown
from tracegraph.stage.stage import Stage

METER = find_meter(DEFAULT, ())
NET = "ground COM\nR1 1k IN -- OUT\nR2 1k OUT -- COM\nD1 diode IN -> COM\n"


def section(ohms: str, *shown: float | Shown) -> Stage:
    stage = read(from_text("net.trace", NET.replace("R2 1k", f"R2 {ohms}")))
    readings = tuple(Reading("OUT", "COM", Mode.OHMS, one, 1.0) for one in shown)
    return replace(stage, log=(Block("", "", AS_IT_LIES, readings),))


def test_another_log_or_section_gets_an_answer_of_its_own() -> None:
    asked = [
        section("1k", Shown.OPEN),
        section("1k", 1000.0),
        section("10k", 1000.0),
        section("1k", Shown.OPEN),
    ]
    told = [diagnosed(one, METER).words for one in asked]
    assert told == [Inquiry(one, METER).verdict(one).words for one in asked]
    assert told[0] == told[3]
    assert len(set(told)) == 3


def test_the_next_reading_follows_from_the_same_inquiry() -> None:
    stage = section("1k", Shown.OPEN)
    diagnosed(stage, METER)
    assert advised(stage, METER).words == Inquiry(stage, METER).advice(stage).words
