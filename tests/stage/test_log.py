"""Readings as displays show them, and the bench as it stood."""

import pytest

from tracegraph.notation.source import from_text
from tracegraph.stage.change import Add, Become, Change, Cut, Remove, Vary
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Block, Deed, Event, Mode, Reading, Shown
from tracegraph.stage.stage import Stage

BOARD = """\
ground COM
rail P12 12V
R14 47R DRV -- GATE
C1 1u DRV -- COM
Q12 pnp b=N1 e=DRV c=COM
D12 absent GATE -> P12
J3 connector 1=GATE 2=N1
link DRV P12
state drive P12=11V
readings "as received" meter "handheld"
"""


def section(*lines: str) -> Stage:
    return read(from_text("bench.trace", BOARD + "\n".join(lines)))


def reading(line: str) -> Reading:
    stage = section(line)
    assert not [one for one in stage.problems if one.severity == "error"]
    (block,) = stage.log
    assert isinstance(block, Block)
    (found,) = block.readings
    return found


@pytest.mark.parametrize(
    ("mode", "display", "shown", "resolution"),
    [
        ("ohms", "1k0", 1000, 100),
        ("ohms", "0.58k", 580, 10),
        ("ohms", "4,70k", 4700, 10),
        ("ohms", "470", 470, 1),
        ("ohms", "47R", 47, 1),
        ("ohms", "2.0M", 2e6, 1e5),
        ("diode", "0.58", 0.58, 0.01),
        ("diode", "0.580", 0.58, 0.001),
        ("diode", ".482", 0.482, 0.001),
        ("diode", "482", 0.482, 0.001),
        ("diode", "0,48", 0.48, 0.01),
        ("volts", "-0.02", -0.02, 0.01),
        ("volts", "10.4", 10.4, 0.1),
        ("volts", "1", 1, 1),
        ("cap", "2.20n", 2.2e-9, 1e-11),
        ("capacitance", "100n", 1e-7, 1e-9),
        ("ohms", "OL", Shown.OPEN, 0),
        ("ohms", "0L", Shown.OPEN, 0),
        ("diode", "1", Shown.OPEN, 0),
        ("ohms", "open", Shown.OPEN, 0),
        ("ohms", "unsteady", Shown.UNSTEADY, 0),
        ("beep", "yes", Shown.BEEP, 0),
        ("beep", "b", Shown.BEEP, 0),
        ("beep", "no", Shown.SILENT, 0),
        ("beep", "no beep", Shown.SILENT, 0),
        ("beep", "OL", Shown.SILENT, 0),
    ],
)
def test_a_display_is_read_as_finely_as_it_was_written(
    mode: str, display: str, shown: float | Shown, resolution: float
) -> None:
    found = reading(f"{mode} GATE COM {display}")
    assert found.shown == (shown if isinstance(shown, Shown) else pytest.approx(shown))
    assert found.resolution == pytest.approx(resolution)


def test_a_bound_and_a_climb_are_no_plain_numbers() -> None:
    bound = reading("ohms GATE COM > 20M")
    assert (bound.shown, bound.at_least) == (20e6, True)
    climbs = reading("ohms GATE COM climbs 2k")
    assert (climbs.shown, climbs.rate) == (Shown.CLIMBS, 2000)
    assert reading("ohms GATE COM climbs").rate is None


def test_probes_are_nets_or_pins_as_first_written() -> None:
    found = reading("diode q12.Base com 0.6")
    assert (found.red, found.black, found.mode) == ("Q12.b", "COM", Mode.DIODE)
    assert (found.meter, found.block) == ("handheld", "as received")


@pytest.mark.parametrize(
    ("tail", "changes"),
    [
        ("without Q12", (Remove("Q12"),)),
        ("lifted r14.1", (Cut(Pin("R14", "1")),)),
        ("without Q12 lifted R14.2", (Remove("Q12"), Cut(Pin("R14", "2")))),
    ],
)
def test_tails_are_changes_made_on_the_bench(
    tail: str, changes: tuple[Change, ...]
) -> None:
    assert reading(f"diode GATE COM 0.6 {tail}").condition.changes == changes


def test_a_stand_in_is_a_part_on_nets_of_the_board() -> None:
    (change,) = reading("diode GATE COM 0.6 with C99 3n3 gate -- COM").condition.changes
    assert isinstance(change, Add)
    assert dict(change.part.pins) == {"1": "GATE", "2": "COM"}


def test_power_joined_plug_and_time_are_part_of_the_condition() -> None:
    told = reading("volts GATE COM 5.0 in drive joined GATE COM unplugged J3 after 10s")
    condition = told.condition
    assert (condition.power, condition.after) == ("drive", 10)
    assert condition.joined == (("GATE", "COM"),)
    assert condition.unplugged == ("GATE", "N1")


def test_a_blocks_tail_holds_for_each_of_its_readings() -> None:
    stage = section(
        'readings "cold" without Q12',
        "ohms GATE COM 1k0",
        "ohms DRV COM 1k0 lifted R14.1",
    )
    block = stage.log[1]
    assert isinstance(block, Block)
    first, second = (one.condition.changes for one in block.readings)
    assert first == (Remove("Q12"),)
    assert second == (Remove("Q12"), Cut(Pin("R14", "1")))


@pytest.mark.parametrize(
    ("line", "deed", "sort"),
    [
        ("replaced Q12 npn", Deed.REPLACED, Become),
        ("replaced R14 22R", Deed.REPLACED, Vary),
        ("removed Q12", Deed.REMOVED, Remove),
        ("fitted D12", Deed.FITTED, Add),
    ],
)
def test_events_stand_in_their_order_and_change_the_board(
    line: str, deed: Deed, sort: type
) -> None:
    stage = section("ohms GATE COM 1k0", line, 'readings "after"', "ohms GATE COM 1k0")
    event = stage.log[1]
    assert isinstance(event, Event)
    assert event.deed is deed
    assert isinstance(event.changes[0], sort)
    assert len(stage.log) == 3


def test_the_same_part_again_changes_nothing() -> None:
    event = section("replaced Q12 pnp").log[1]
    assert isinstance(event, Event)
    assert (event.changes, event.words) == ((), ("pnp",))


def test_a_cut_link_names_its_two_nets() -> None:
    event = section("cut link p12 DRV").log[1]
    assert isinstance(event, Event)
    assert (event.deed, event.target) == (Deed.CUT_LINK, ("P12", "DRV"))


def test_what_was_taken_back_is_as_though_never_written() -> None:
    stage = section("ohms GATE COM 1k0", "ohms DRV COM 2k0", "undo")
    (block,) = stage.log
    assert isinstance(block, Block)
    assert [one.shown for one in block.readings] == [1000]
    assert stage.problems == section("ohms GATE COM 1k0").problems


def test_each_undo_takes_one_more_back_and_what_comes_then_counts() -> None:
    stage = section(
        "ohms GATE COM 1k0",
        "replaced Q12 npn",
        "ohms DRV COM 2k0",
        "undo",
        "UNDO  # and the event before it",
        "ohms DRV COM 3k0",
    )
    (block,) = stage.log
    assert isinstance(block, Block)
    assert [one.shown for one in block.readings] == [1000, 3000]
    assert {one.block for one in block.readings} == {"as received"}


def test_a_reading_that_was_not_understood_can_be_taken_back_too() -> None:
    assert not section("ohms NOWHERE COM 1k0", "undo").log[0][3]


@pytest.mark.parametrize(
    ("mode", "display"),
    [
        ("diode", "22k"),
        ("diode", "0.6A"),
        ("ohms", "0.48V"),
        ("ohms", "-22k"),
        ("ohms", "-1"),
        ("beep", "-1"),
        ("cap", "22k"),
        ("cap", "-5n"),
        ("volts", "4R7"),
        ("diode", "100V"),
    ],
)
def test_what_a_mode_cannot_show_is_left_out(mode: str, display: str) -> None:
    stage = section(f"{mode} GATE COM {display}")
    (block,) = stage.log
    assert isinstance(block, Block)
    assert block.readings == ()
    assert [one.code for one in stage.problems if one.severity == "error"] == [
        "odd-display"
    ]


@pytest.mark.parametrize(
    ("first", "second", "differ"),
    [
        ("ohms GATE COM 22k", "ohms GATE COM 4k7", True),
        ("ohms GATE COM 22k", "ohms COM GATE 4k7", False),  # the other way round
        ("ohms GATE COM 22k", "diode GATE COM 1.2", False),
        ("ohms GATE COM 22k", "ohms J3.1 COM 4k7", True),  # the same net by its pin
        ("ohms GATE COM 22.1k", "ohms GATE COM 22.6k", False),
        ("ohms GATE COM 0.2R", "ohms GATE COM 0.4R", False),  # three steps of a digit
        ("ohms GATE COM OL", "ohms GATE COM 4k7", True),
        ("ohms GATE COM > 20M", "ohms GATE COM OL", False),
        ("ohms GATE COM > 20M", "ohms GATE COM 4k7", True),
        ("ohms GATE COM > 2M", "ohms GATE COM 5M", False),
        ("ohms GATE COM climbs", "ohms GATE COM 4k7", False),
        ("beep GATE COM yes", "beep GATE COM no", True),
        ("ohms GATE COM 22k", "ohms GATE COM 4k7 without Q12", False),
        ("ohms GATE COM 22k", "removed Q12\nohms GATE COM 4k7", False),
        ("ohms DRV COM 1k lifted R14.1", "ohms R14.1 COM 9k lifted R14.1", False),
    ],
)
def test_readings_that_contradict_each_other_both_count_and_it_is_said(
    first: str, second: str, differ: bool
) -> None:
    stage = section(first, second)
    blocks = [one for one in stage.log if isinstance(one, Block)]
    assert sum(len(one.readings) for one in blocks) == 2
    assert ("readings-differ" in {one.code for one in stage.problems}) == differ


@pytest.mark.parametrize(
    "tail", ["without Q99", "lifted R14.7", "in nowhere", "joined A B"]
)
def test_a_reading_whose_bench_is_not_understood_is_left_out(tail: str) -> None:
    alone = section(f"ohms GATE COM 1k0 {tail}", "ohms DRV COM 2k0")
    (block,) = alone.log
    assert isinstance(block, Block)
    assert [one.red for one in block.readings] == ["DRV"]
    whole = section(f'readings "later" {tail}', "ohms GATE COM 1k0", "ohms DRV COM 2k0")
    assert [one.readings for one in whole.log if isinstance(one, Block)] == [(), ()]
    (told, *_) = [one for one in whole.problems if one.severity == "error"]
    assert told.hint.endswith("The readings of this block are left out with it.")
