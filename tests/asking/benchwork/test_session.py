"""A session at the bench, line by line: what is kept, taken back, asked and refused."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.asking.benchwork.scripts import (
    DONE,
    LEG,
    PLAIN,
    log_of,
    played,
)
from tracegraph.asking.benchwork.moves import Order, Say, move_of
from tracegraph.asking.benchwork.session import (
    Help,
    Judged,
    Kept,
    Listed,
    Next,
    Over,
    Session,
    Stands,
    TakenBack,
    Tiding,
)
from tracegraph.asking.logbook.typed import Trouble, Wanted
from tracegraph.diagnose.verdict import Advice
from tracegraph.stage.change import Cut
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import Condition, Event, Mode, Reading, Shown

Opened = Callable[..., Session]
LIFT = Condition(changes=(Cut(Pin("R26", "1")),))


def last(session: Session) -> Reading:
    entry = session.now.entries[-1]
    assert isinstance(entry, Reading)
    return entry


def bare(session: Session) -> list[Reading | Event]:
    return [one._replace(source=None) for one in session.now.entries]


def kinds(tidings: list[Tiding]) -> list[type]:
    return [type(one) for one in tidings]


def test_the_first_thing_is_a_probe(opened: Opened) -> None:
    session = opened()
    assert kinds(played(session)[0]) == [Judged, Next]
    assert session.now.asked
    assert session.now.asked.wanted == Wanted(*PLAIN.probe)


@pytest.mark.parametrize(
    ("line", "wanted", "shown"),
    [
        ("612", ("GATE", "COM", Mode.DIODE), 0.612),
        ("ol", ("GATE", "COM", Mode.DIODE), Shown.OPEN),
        ("b", ("GATE", "COM", Mode.BEEP), Shown.BEEP),
        ("nb", ("GATE", "COM", Mode.BEEP), Shown.SILENT),
        ("SRC COM nb", ("SRC", "COM", Mode.BEEP), Shown.SILENT),
        ("COM GATE 1.24", ("COM", "GATE", Mode.DIODE), 1.24),
        ("ohms R26.1 COM 4k7", ("R26.1", "COM", Mode.OHMS), 4700.0),
    ],
)
def test_a_reading_is_kept_weighed_and_the_next_one_asked(
    opened: Opened, line: str, wanted: tuple[str, str, Mode], shown: float | Shown
) -> None:
    session = opened()
    assert kinds(played(session, line)[1]) == [Kept, Judged, Next]
    assert (last(session)[:3], last(session).shown) == (wanted, shown)


def test_a_reading_is_on_the_disk_before_anything_is_worked_out(
    tmp_path: Path, opened: Opened
) -> None:
    session = opened()
    played(session)
    tidings = session.take("612\n")
    assert isinstance(next(tidings), Kept)
    assert log_of(tmp_path)[-1] == "diode GATE COM 0.612"


def test_the_verdict_does_not_wait_for_the_next_probe(opened: Opened) -> None:
    session = opened()
    played(session)
    tidings = session.take("612\n")
    assert isinstance(next(tidings), Kept)
    assert isinstance(next(tidings), Judged)
    assert session.now.asked is None  # nothing typed now may be taken for a probe


def test_enter_is_a_reading_as_coarse_as_its_window(
    tmp_path: Path, opened: Opened
) -> None:
    session = opened()
    played(session, "")
    asked = last(session)
    assert asked.shown == pytest.approx(0.7)  # 0.679 V typical, 0.60 to 0.71 V
    assert asked.resolution == pytest.approx(0.1)
    assert log_of(tmp_path)[-1] == "diode GATE COM 0.7"


def test_enter_takes_ol_where_a_healthy_board_shows_ol(opened: Opened) -> None:
    session = opened()
    played(session, "diode V15 COM", "")
    asked = session.now.entries
    assert [one.shown for one in asked if isinstance(one, Reading)] == [Shown.OPEN]


def test_enter_where_the_display_is_not_definite_is_refused(opened: Opened) -> None:
    session = opened()
    told = played(session, "diode DRV HV+", "")
    assert kinds(told[2]) == [Say]
    assert "more than one thing" in told[2][0].words  # type: ignore[union-attr]
    assert session.now.entries == ()


def test_a_pair_alone_is_where_the_probes_go(opened: Opened) -> None:
    session = opened()
    told = played(session, "ohms SRC COM", "0.2")
    assert kinds(told[1]) == [Next]
    assert last(session)[:4] == ("SRC", "COM", Mode.OHMS, 0.2)


def test_what_is_typed_ahead_is_not_taken_for_a_probe_nobody_saw(
    opened: Opened,
) -> None:
    session = opened()
    played(session)
    for line in ("", "612", "ol", "b", "ohms", "COM GATE 1.24"):
        assert kinds(list(session.take(line, early=True))) == [Say]
    assert session.now.entries == ()
    assert kinds(list(session.take("diode COM GATE 1.24", early=True)))[0] is Kept


def test_undo_takes_readings_events_and_benches_back_in_turn(opened: Opened) -> None:
    session = opened()
    played(session, "612", "lifted R26.1", "GATE COM 0.6", "replaced R26")
    assert session.now.bench == Condition()  # the new one is soldered in
    (back, *_) = list(session.take("u"))
    assert isinstance(back, TakenBack)
    assert isinstance(back.entry, Event)
    assert session.now.bench == LIFT
    list(session.take("u"))
    assert session.now.taken == 1
    assert session.now.bench == LIFT
    assert Stands in kinds(list(session.take("u")))
    assert session.now.bench == Condition()
    list(session.take("u"))
    assert session.now.entries == ()
    assert kinds(list(session.take("u"))) == [Say]


def test_undo_reaches_back_into_an_earlier_session(opened: Opened) -> None:
    played(opened(), "612", "COM GATE 1.24")
    session = opened()
    played(session, "u")
    assert session.now.taken == 1
    assert opened().now.taken == 1
    played(session, "u", "u")
    assert opened().now.entries == ()


def test_an_event_is_kept_and_the_bench_behind_it(opened: Opened) -> None:
    session = opened()
    played(session, "lifted R26.1 R27.1", "replaced R26", "612")
    again = opened()
    assert again.now.bench == session.now.bench
    assert bare(again) == bare(session)
    assert again.now.bench.changes == (Cut(Pin("R27", "1")),)


def test_nets_joined_are_for_one_reading(opened: Opened) -> None:
    session = opened()
    played(session, "joined GATE COM", "612")
    assert last(session).condition.joined == (("GATE", "COM"),)
    assert session.now.bench == Condition()
    played(session, "GATE COM 613")
    assert last(session).condition == Condition()


def test_a_probe_that_needs_a_lifted_leg_asks_for_it_first(opened: Opened) -> None:
    session = opened(LEG)
    told = played(session, "4k7", "", "4k7")
    assert kinds(told[1]) == [Say]  # is it lifted already? nobody said so
    assert kinds(told[2]) == [Stands, Next]
    assert session.now.bench == LIFT
    assert last(session).condition == LIFT
    assert last(session)[:3] == ("R26.1", "COM", Mode.OHMS)


def test_passing_over_goes_round(opened: Opened) -> None:
    session = opened()
    told = played(session, "s", "s")
    assert kinds(told[1]) == [Next]
    assert kinds(told[2]) == [Say, Next]
    assert session.now.asked
    assert session.now.asked.proposal == PLAIN


def test_passed_over_stays_passed_over_after_a_reading(opened: Opened) -> None:
    session = opened()
    played(session, "s", "SRC COM ohms 0.2", "ohms SRC COM 0.2")
    assert session.now.asked
    assert session.now.asked.proposal != PLAIN


def test_nothing_proposed_is_no_end(opened: Opened) -> None:
    session = opened(DONE)
    told = played(session, "", "s", "612", "ohms SRC COM 0.2")
    assert [kinds(one) for one in told[1:4]] == [[Say], [Say], [Trouble]]
    assert session.now.taken == 1


@pytest.mark.parametrize(
    "line",
    [
        "foo",
        "GAET COM 612",
        "61x2",
        "lifted R99.1",
        '"',
        "612 613",
        "\0",
        "é",
        "GATE 612",
    ],
)
def test_what_is_no_reading_is_told_and_nothing_is_lost(
    opened: Opened, line: str
) -> None:
    session = opened()
    told = played(session, line, "612")
    assert kinds(told[1]) == [Trouble]
    assert session.now.taken == 1


@pytest.mark.parametrize(
    ("line", "kind"),
    [("?", Help), ("l", Listed), ("l  --all", Listed), ("q", Over), ("QUIT", Over)],
)
def test_words_for_the_session(opened: Opened, line: str, kind: type) -> None:
    assert kinds(played(opened(), line)[1]) == [kind]


def test_a_line_without_its_end_is_asked_about(tmp_path: Path, opened: Opened) -> None:
    played(opened(), "GATE COM 612", "COM GATE 1.24")
    path = tmp_path / "left.readings.trace"
    path.write_bytes(path.read_bytes()[:-2])  # the power went: 1.2 is left
    session = opened()
    assert session.now.unended == "diode COM GATE 1.2"
    told = played(session, "612", "n")
    assert told[0] == []
    assert kinds(told[1]) == [Say]
    assert kinds(told[2]) == [TakenBack, Judged, Next]
    assert session.now.taken == 1
    assert bare(opened()) == bare(session)


def test_a_line_without_its_end_may_be_whole(tmp_path: Path, opened: Opened) -> None:
    played(opened(), "GATE COM 612")
    path = tmp_path / "left.readings.trace"
    path.write_bytes(path.read_bytes()[:-1])
    session = opened()
    told = played(session, "y", "COM GATE 1.24")
    assert kinds(told[1]) == [Judged, Next]
    assert opened().now.taken == 2


def test_somebody_else_writing_is_told_once(opened: Opened) -> None:
    one, other = opened(), opened()
    played(one, "612")
    told = played(other, "COM GATE 1.24", "SRC COM 0.3", "u")
    assert kinds(told[1])[-1] is Say
    assert Say not in kinds(told[2])
    assert opened().now.taken == 2  # 612, 1.24; 0.3 was taken back


def test_a_disk_that_is_full_costs_that_reading_only(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = opened()
    played(session, "612")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("os.fsync", full)
        (told,) = list(session.take("COM GATE 1.24"))
    assert isinstance(told, Say)
    assert "no space left on device: not kept" in told.words
    assert session.now.taken == 1


def test_an_empty_advice_still_says_something(opened: Opened) -> None:
    session = opened(Advice((), "", done=True))
    assert kinds(played(session)[0]) == [Judged, Next]
    assert session.now.asked is None


def test_orders_are_told_from_readings(opened: Opened) -> None:
    session = opened()
    played(session)
    assert move_of(session.now, "S\n") is Order.SKIP
    assert move_of(session.now, " u \r\n") is Order.BACK


def test_a_reading_that_contradicts_another_is_told_at_once(opened: Opened) -> None:
    session = opened()
    told = played(session, "ohms GATE COM 1k15", "ohms GATE COM 590")
    assert kinds(told[1]) == [Kept, Judged, Next]
    assert kinds(told[2]) == [Kept, Say, Judged, Next]
    assert "1.15 k and 590" in told[2][1].words  # type: ignore[union-attr]
    assert session.now.taken == 2
