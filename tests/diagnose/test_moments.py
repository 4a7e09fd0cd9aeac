"""Readings count for the board as it was at their moment."""

from dataclasses import replace

import pytest

from tracegraph.diagnose.moments import Log, log_of
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import Block, Condition, Mode, Reading
from tracegraph.stage.stage import Stage

HANDHELD, NEEDLE = find_meter(DEFAULT), find_meter("needle")
BOARD = """\
ground COM
rail P12 12V
rest P12 -- COM none
R1  1k   P12 -- DRV
Q23 pnp  b=DRV e=GATE c=COM
R27 22k  GATE -- COM
R28 47R  GATE -- OUT
D12 absent OUT -> P12
J3  connector 1=OUT 2=P12
R29 10k  TAP -- COM
link OUT TAP
state run P12=12V
"""


def logged(*lines: str) -> Log:
    stage = read(from_text("board.trace", BOARD + "\n".join(lines) + "\n"))
    assert [one for one in stage.problems if one.severity == "error"] == []
    return log_of(stage, HANDHELD)


def stages(*lines: str) -> list[Stage]:
    """Return the board as it stood for each reading that counts."""
    log = logged(*lines)
    return [log.moments[one.moment].stage for one in log.taken]


def test_readings_of_one_board_share_its_moment() -> None:
    log = logged("readings", "  ohms GATE COM 22k", "  diode GATE COM 0.66")
    assert [one.moment for one in log.taken] == [0, 0]
    assert log.now == 0
    assert log.moments[0].done == ()
    assert [one.red for one in log.taken] == ["GATE", "GATE"]


def test_an_empty_log_stands_at_the_board_as_it_is() -> None:
    log = logged()
    assert (log.taken, log.left, log.now, len(log.moments)) == ((), (), 0, 1)


def test_a_reading_before_replaced_says_nothing_of_the_new_part() -> None:
    log = logged(
        "readings",
        "  diode GATE COM 0.03",
        "replaced Q23 pnp",
        "readings",
        "  diode GATE COM 0.66",
    )
    before, after = (log.moments[one.moment] for one in log.taken)
    assert before.renewed == frozenset()
    assert after.renewed == {"Q23"}
    assert log.now == log.taken[1].moment != log.taken[0].moment


def test_lifted_removed_and_fitted_alter_the_board_from_then_on() -> None:
    whole, lifted, out, fitted = stages(
        "readings",
        "  ohms GATE COM 22k",
        "  ohms GATE COM OL lifted R27.1",
        "removed R27",
        "fitted D12",
        "readings",
        "  ohms GATE COM OL",
        "  ohms GATE COM OL without Q23",
    )
    parts = [one.part("R27") for one in (whole, lifted, out)]
    assert [part.fitted for part in parts if part] == [True, True, False]
    on_gate = [part.pins["1"] == "GATE" for part in parts if part]
    assert on_gate == [True, False, True]
    diode, helper = fitted.part("D12"), fitted.part("Q23")
    assert diode is not None
    assert diode.fitted
    assert helper is not None
    assert not helper.fitted


def test_a_lifted_leg_is_lifted_for_its_reading_only() -> None:
    log = logged("readings", "  ohms GATE COM OL lifted R27.1", "  ohms GATE COM 22k")
    assert [one.moment for one in log.taken] == [0, 1]
    assert log.now == 1


def test_a_lifted_leg_can_be_probed() -> None:
    log = logged("readings", "  ohms R27.1 COM 22k lifted R27.1")
    (one,) = log.taken
    leg = log.moments[one.moment].stage.net("R27.1")
    assert (one.red, one.black) == (leg, "COM")
    assert leg != "GATE"


def test_nets_keep_their_names_whatever_leaves_them() -> None:
    log = logged("readings", "  ohms OUT COM OL lifted R28.2 unplugged J3")
    assert [one.red for one in log.taken] == ["OUT"]
    assert {"OUT", "GATE"} <= log.moments[0].stage.nets.keys()


def test_a_plug_that_is_out_is_out() -> None:
    out, also = stages(
        "readings", "  ohms OUT COM OL unplugged J3", "  ohms OUT COM 22k"
    )
    assert "OUT" in out.unplugged
    assert "OUT" not in also.unplugged


def test_a_cut_link_parts_its_nets() -> None:
    before, after = stages(
        "readings",
        "  ohms TAP COM 22k",
        "cut link OUT TAP",
        "readings",
        "  ohms TAP COM OL",
    )
    assert len(before.links) == len(after.links) + 1


def test_order_is_kept() -> None:
    log = logged(
        "readings", "  ohms GATE COM 22k", "  ohms DRV COM 1k", "  beep OUT TAP b"
    )
    assert [(one.red, one.black) for one in log.taken] == [
        ("GATE", "COM"),
        ("DRV", "COM"),
        ("OUT", "TAP"),
    ]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("ohms GATE Q23.e 0.2", "both probes stand on GATE"),
        ("volts GATE COM 11.4", "without power"),
        ("volts GATE COM OL in run", "says too little"),
        ("diode GATE COM 0.4 in run", "under power"),
        ("ohms P12 COM climbs 2k", "still moved"),
        ("diode P12 COM unsteady", "still moved"),
    ],
)
def test_what_counts_for_nothing_is_left_out_with_its_reason(
    line: str, why: str
) -> None:
    stage = read(from_text("board.trace", f"{BOARD}readings\n  {line}\n"))
    log = log_of(stage, HANDHELD)
    assert log.taken == ()
    (left,) = log.left
    assert why in left.why
    assert left.reading.red in line


@pytest.mark.parametrize("missing", ["NOWHERE", "Q99.b"])
def test_a_net_that_the_section_lacks_is_named(missing: str) -> None:
    reading = Reading("GATE", missing, Mode.OHMS, 22e3)
    block = Block("of another board", "", Condition(), (reading,))
    log = log_of(replace(read(from_text("x", BOARD)), log=(block,)), HANDHELD)
    assert log.taken == ()
    assert [one.why for one in log.left] == [
        f"the section has no net or pin called {missing}"
    ]


def test_a_mode_that_the_meter_lacks_is_left_out() -> None:
    stage = read(from_text("x", f"{BOARD}readings\n  diode GATE COM 0.66\n"))
    (left,) = log_of(stage, NEEDLE).left
    assert left.why == "the meter needle has no diode range"


def test_a_part_that_the_board_lacks_leaves_the_reading_out() -> None:
    stage = read(from_text("x", f"{BOARD}readings\n  ohms GATE COM 22k without Q77\n"))
    log = log_of(stage, HANDHELD)
    assert log.taken == ()
    assert all("Q77" in one.why for one in log.left)


def test_contradictory_readings_both_count() -> None:
    log = logged("readings", "  ohms GATE COM 22k", "  ohms GATE COM 47R")
    assert [one.reading.shown for one in log.taken] == [22e3, 47.0]
