"""Every way to write a line, read as the bench means it."""

import pytest

from tests.notation.nodes import one, pairs, read, said, station
from tracegraph.diagnostics import Span
from tracegraph.notation import syntax
from tracegraph.notation.parser import parse
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.notation.syntax import Word


def test_a_chain_follows_the_copper() -> None:
    found = one(
        syntax.ChainLine,
        "chain P12 -- R13 1 k -- N1 -> D11 diode vf=0.6V -- DRV <- D12 -- NOTE",
    )
    assert [station(step) for step in found.steps] == [
        "P12 --",
        "R13 1k --",
        "N1 ->",
        "D11 diode --",
        "DRV <-",
        "D12 --",
        "NOTE",
    ]
    assert pairs(found.steps[3].settings) == {"vf": "0.6V"}


@pytest.mark.parametrize(
    "net", ["GATE", "INPUT", "ground", "END", "STATE", "+15", "P12"]
)
def test_a_net_joins_pins_whatever_it_is_called(net: str) -> None:
    found = one(syntax.JoinsLine, f"{net} joins Q13.g R14.2, R15.1")
    assert found.net.text == net
    assert said(found.pins) == ["Q13.g", "R14.2", "R15.1"]


def test_states_supplies_and_touched_parts() -> None:
    state = one(syntax.StateLine, "state run PWM=high NTC1=85C P12=6 V")
    assert pairs(state.settings) == {"PWM": "high", "NTC1": "85C", "P12": "6V"}
    assert one(syntax.StateLine, "state idle").settings == ()
    supply = one(syntax.SupplyLine, "supply U1 vcc=P5 gnd=COM")
    assert pairs(supply.settings) == {"vcc": "P5", "gnd": "COM"}
    touched = one(syntax.TouchedLine, 'touched R13 Q12 "by someone"')
    assert said(touched.refs) == ["R13", "Q12"]
    assert touched.remark
    assert touched.remark.text == "by someone"


@pytest.mark.parametrize(
    ("line", "targets"),
    [
        ("not traced GATE", ["GATE"]),
        ("Q13.d not traced", ["Q13.d"]),
        ("Q13.d, Q12.e not traced  # yet", ["Q13.d", "Q12.e"]),
        ('Q13.d NOT TRACED note "under the coil"', ["Q13.d"]),
    ],
)
def test_what_is_not_traced(line: str, targets: list[str]) -> None:
    assert said(one(syntax.UntracedLine, line).targets) == targets


def test_what_was_found_on_the_board() -> None:
    assert said(one(syntax.UnpluggedLine, "nothing on PWM").nets) == ["PWM"]
    link = one(syntax.LinkLine, "link END STATE ?")
    assert (link.verb.text, link.a.text, link.b.text) == ("link", "END", "STATE")
    assert link.value
    assert link.value.text == "?"
    bridge = one(syntax.LinkLine, "bridge A -- B 12 R")
    assert bridge.value
    assert bridge.value.text == "12R"
    broken = one(syntax.BreakLine, "break GATE at R14.2")
    assert (broken.net.text, broken.pin.text) == ("GATE", "R14.2")


def test_a_note_may_stand_alone_or_behind_a_line() -> None:
    alone = one(syntax.NoteLine, 'note "bought # as scrap"')
    assert alone.note
    assert alone.note.text == "bought # as scrap"
    behind = one(syntax.GroundLine, 'ground COM note "case"')
    assert behind.note
    assert behind.note.text == "case"
    assert behind.span == Span(1, 1, 23)


def test_a_channel_may_be_like_another() -> None:
    like = one(
        syntax.LikeLine,
        "channel V like U R31=R41 U_GATE=V_GATE except R41 10 k, D42 absent, Q41 hfe=200",
    )
    assert (like.name.text, like.like.text) == ("V", "U")
    assert pairs(like.settings) == {"R31": "R41", "U_GATE": "V_GATE"}
    assert [(e.ref.text, said(e.words)) for e in like.excepts] == [
        ("R41", ["10k"]),
        ("D42", ["absent"]),
        ("Q41", ["hfe=200"]),
    ]


@pytest.mark.parametrize(
    ("display", "shown"),
    [
        ("0.72", ["0.72"]),
        ("0,48", ["0,48"]),
        (".482", [".482"]),
        ("-0.02", ["-0.02"]),
        ("OL", ["OL"]),
        ("0L", ["0L"]),
        ("1", ["1"]),
        ("open", ["open"]),
        ("> 20M", [">", "20M"]),
        (">20 M", [">", "20M"]),
        ("climbs", ["climbs"]),
        ("climbs 2k", ["climbs", "2k"]),
        ("unsteady", ["unsteady"]),
        ("b", ["b"]),
        ("no", ["no"]),
        ("no beep", ["no"]),
        ("9.8 k", ["9.8k"]),
    ],
)
def test_a_reading_is_what_the_display_showed(display: str, shown: list[str]) -> None:
    found = one(syntax.ReadingLine, f"ohms GATE COM {display} without Q13")
    assert said(found.shown) == shown
    assert (found.mode.text, found.red.text, found.black.text) == (
        "ohms",
        "GATE",
        "COM",
    )
    assert said(found.tail.without) == ["Q13"]


@pytest.mark.parametrize(
    "mode", ["ohms", "diode", "beep", "cap", "Capacitance", "VOLTS"]
)
def test_the_mode_tells_a_reading(mode: str) -> None:
    found = one(syntax.ReadingLine, f"{mode} IN WITHOUT OL")
    assert (found.red.text, found.black.text) == ("IN", "WITHOUT")


def test_a_block_of_readings_has_title_meter_and_condition() -> None:
    block = one(
        syntax.ReadingsLine,
        'readings "as received" meter "handheld" without Q13, Q12 joined GATE COM',
    )
    assert block.title
    assert block.meter
    assert (block.title.text, block.meter.text) == ("as received", "handheld")
    assert said(block.tail.without) == ["Q13", "Q12"]
    assert [said(nets) for nets in block.tail.joined] == [["GATE", "COM"]]
    assert one(syntax.ReadingsLine, "readings").title is None


@pytest.mark.parametrize(
    ("line", "verb", "targets", "words"),
    [
        ("replaced Q12 pnp BC857", "replaced", ["Q12"], ["pnp", "BC857"]),
        ("fitted D12", "fitted", ["D12"], []),
        ("removed Q13 Q14", "removed", ["Q13", "Q14"], []),
        ("cut link A B", "cut", ["A", "B"], []),
    ],
)
def test_what_was_done_between_readings(
    line: str, verb: str, targets: list[str], words: list[str]
) -> None:
    event = one(syntax.EventLine, line)
    assert event.verb.text == verb
    assert said(event.targets) == targets
    assert said(event.words) == words


def test_a_meter_is_followed_by_its_ranges() -> None:
    meter, ohms, volts, red, ground, reading = read(
        'meter "yellow handheld"\n'
        "  ohms 600R open 0.4V behind 1k2 accuracy 0.9% 3\n"
        "  volts 10M accuracy 0.5% 2  # input\n"
        "\n"
        "  red plus\n"
        "ground COM\n"
        "volts P12 COM 12.1\n"
    )
    assert isinstance(meter, syntax.MeterLine)
    assert isinstance(ohms, syntax.RangeLine)
    assert said(ohms.words)[:4] == ["ohms", "600R", "open", "0.4V"]
    assert isinstance(volts, syntax.RangeLine)
    assert isinstance(red, syntax.RangeLine)
    assert isinstance(ground, syntax.GroundLine)
    assert isinstance(reading, syntax.ReadingLine)


def test_a_slip_in_a_range_does_not_end_the_meter() -> None:
    found = parse(
        from_text(
            "m", 'meter "m"\nohms 600R\nohsm 6k\nohms 60k open\nbeep = 3\nred plus'
        )
    )
    assert [type(line).__name__ for line in found.statements] == [
        "MeterLine",
        "RangeLine",
        "RangeLine",
        "RangeLine",
    ]
    assert [p.span.line for p in found.problems if p.span] == [3, 5]


def test_every_word_keeps_its_place() -> None:
    part = one(syntax.PartLine, '\n\t R14  47R  DRV -- GATE  marked "470"  # in series')
    assert part.span == Span(2, 3, 38)
    assert part.ref.span == Span(2, 3, 6)
    assert part.ends
    assert part.ends.right == Word("GATE", Span(2, 20, 24))
    assert part.marked == Word("470", Span(2, 33, 38), quoted=True)


@pytest.mark.parametrize(
    "data",
    [
        b"\xef\xbb\xbfground COM\r\nR1\t1k\tA -- B\r\n",
        b"GROUND COM\rR1 1k A -- B",
        b"ground COM # case\n\n   # nothing else\nR1 1k A -- B   ",
        "ground\u00a0COM\nR1 1k A -- B".encode(),
    ],
)
def test_any_editor_will_do(data: bytes) -> None:
    found = parse(from_bytes("bench.trace", data))
    assert found.problems == ()
    assert [type(line) for line in found.statements] == [
        syntax.GroundLine,
        syntax.PartLine,
    ]


def test_a_bad_line_costs_that_line_only() -> None:
    found = parse(
        from_text("x", "ground COM\nrail P12\nR1 1k A--B\nR2 1k A -- B\nfoo bar\n")
    )
    assert [line.span.line for line in found.statements] == [1, 4]
    assert [(p.code, p.span.line) for p in found.problems if p.span] == [
        ("missing-voltage", 2),
        ("glued-arrow", 3),
        ("unknown-line", 5),
    ]


def test_an_empty_text_says_nothing() -> None:
    assert read("") == ()
    assert read("\n# nothing\n\n") == ()
