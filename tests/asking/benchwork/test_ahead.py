"""Work done ahead changes no answer, and gives way at once."""

from dataclasses import replace
from threading import Thread, active_count
from time import monotonic

import pytest

from tracegraph.asking.benchwork.ahead import Ahead, jobs
from tracegraph.asking.benchwork.now import Asked, Now
from tracegraph.asking.logbook.typed import Wanted
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.pausing import Paused, breathe
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import AS_IT_LIES, Block, Mode, Reading
from tracegraph.stage.stage import Stage

LAMP = """\
ground GND
rail P12 12V
rest P12 -- GND 2k2
R2 22k B -- GND
R3 1k OUT -- P12
D1 diode B -> OUT
"""
METER = find_meter(DEFAULT, ())


def lamp() -> Stage:
    return read(from_text("lamp.trace", LAMP))


def taken(stage: Stage, *readings: Reading) -> Stage:
    return replace(stage, log=(Block("", "", AS_IT_LIES, readings),))


def test_an_answer_is_the_same_after_work_ahead() -> None:
    plain, eager = Inquiry(lamp(), METER), Inquiry(lamp(), METER)
    advice = eager.advice(lamp())
    one = advice.proposals[0]
    now = Now(lamp(), advice=advice, asked=Asked(Wanted(*one.probe), proposal=one))
    for job in jobs(eager, now):
        job()
    odd = taken(lamp(), Reading("OUT", "P12", Mode.OHMS, 1300.0, 1.0))
    first, second = plain.verdict(odd), eager.verdict(odd)
    assert (first.state, first.words) == (second.state, second.words)
    assert [g.chance for g in first.groups] == pytest.approx(
        [g.chance for g in second.groups]
    )
    assert plain.verdict(lamp()) == eager.verdict(lamp())


def test_it_rests_when_it_is_called_off() -> None:
    inquiry, before = Inquiry(lamp(), METER), active_count()
    ahead = Ahead(inquiry)
    ahead.begin(Now(lamp(), advice=inquiry.advice(lamp())))
    begun = monotonic()
    ahead.rest()
    assert monotonic() - begun < 5.0
    assert active_count() == before
    assert inquiry.verdict(lamp())


def test_a_stop_before_the_work_began_is_a_stop(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def stopped(_thread: Thread) -> None:
        raise KeyboardInterrupt

    ahead = Ahead(Inquiry(lamp(), METER))
    monkeypatch.setattr(Thread, "start", stopped)
    with pytest.raises(KeyboardInterrupt):
        ahead.begin(Now(lamp()))
    ahead.rest()


def test_only_work_that_is_called_off_gives_way() -> None:
    from contextvars import copy_context

    from tracegraph.diagnose.pausing import give_way

    def worked() -> None:
        give_way(lambda: True)
        with pytest.raises(Paused):
            breathe()

    copy_context().run(worked)
    breathe()  # nobody called this off
