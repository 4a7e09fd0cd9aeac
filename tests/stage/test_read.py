"""What the lines of a file mean: names, values, pins, chains, marks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import section_texts
from tracegraph.diagnostics import Severity
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.quantity import Origin
from tracegraph.stage.part import Part, Pin, Status
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage


def section(*lines: str) -> Stage:
    return read(from_text("bench.trace", "\n".join(lines)))


def part(line: str) -> Part:
    (found,) = section(line).parts
    return found


def codes(stage: Stage) -> list[str]:
    return [problem.code for problem in stage.problems]


# ---- names


def test_nets_are_known_in_any_case_and_shown_as_first_written() -> None:
    stage = section("ground Com", "R1 1k Gate -- COM", "R2 1k GATE -- com")
    assert list(stage.nets) == ["Com", "Gate"]
    assert stage.net("gate") == "Gate"


def test_a_pin_may_stand_in_a_nets_place_before_its_part_is_written() -> None:
    stage = section("R11 1k PWM -- Q11.base", "Q11 npn b=B1 c=C1 e=COM")
    assert stage.parts[0].pins["2"] == "B1"


def test_a_net_without_a_name_is_called_by_its_first_pin() -> None:
    stage = section("R9 1k COM -- R10.1", "R10 1k R9.2 -- COM")
    assert stage.nets["R9.2"] == (Pin("R9", "2"), Pin("R10", "1"))


@pytest.mark.parametrize("net", ["+15", "-8", "HV+", "MOTOR-", "3.3V", "0V", "INPUT"])
def test_a_net_may_be_called_as_the_board_prints_it(net: str) -> None:
    stage = section("ground COM", f"R1 1k {net} -- COM", f"R2 1k {net} -- COM")
    assert stage.problems == ()
    assert stage.net(net) == net


@pytest.mark.parametrize("name", ["D1.1", "D1.a", "D1.anode", "d1.A"])
def test_a_polar_part_of_two_pins_has_them_by_number_and_by_name(name: str) -> None:
    assert section("D1 diode A -> B").net(name) == "A"


def test_units_of_a_package_share_its_supply() -> None:
    stage = section(
        "U1.A comparator out=O1 in-=A in+=B",
        "U1.B comparator out=O2 in-=C in+=D",
        "supply U1 vcc=P5 gnd=COM",
    )
    assert {part.pins["vcc"] for part in stage.parts} == {"P5"}
    assert {part.pins["gnd"] for part in stage.parts} == {"COM"}


def test_what_one_unit_says_of_the_supply_holds_for_the_other() -> None:
    stage = section(
        "U1.A comparator out/1=O1 in-/2=A in+/3=B gnd/4=COM vcc/8=P5",
        "U1.B comparator out/7=O2 in-/6=C in+/5=D",
    )
    assert stage.net("U1.B.vcc") == "P5"
    assert stage.net("U1.A.8") == "P5"


# ---- which pin is which


def test_numbers_of_an_unknown_pinout_stand_for_the_pins_in_order() -> None:
    found = part("Q5 npn ? 1=A 2=B 3=C")
    assert not found.pinout
    assert dict(found.pins) == {"b": "A", "c": "B", "e": "C"}
    assert section("Q5 npn ? 1=A 2=B 3=C").net("Q5.3") == "C"


def test_roles_go_before_the_usual_pinout() -> None:
    stage = section("Q1 igbt e/1=A c/2=B g/3=C")
    assert stage.net("Q1.1") == "A"
    assert stage.parts[0].pins["e"] == "A"


def test_a_diode_without_an_arrow_may_lie_either_way() -> None:
    stage = section("D1 diode A -- B")
    assert not stage.parts[0].pinout
    assert "arrow-missing" in codes(stage)


@pytest.mark.parametrize(
    ("line", "variant"),
    [
        ("D9 tvs 18V GATE -- COM", {"two-way"}),
        ("D9 tvs 18V GATE -> COM", set()),
        ("Q1 igbt no diode g=G c=C e=E", {"no diode"}),
        ("T1.pri BUS -- DRAIN 60 turns dot DRAIN", {"dot 2"}),
    ],
)
def test_a_form_is_chosen_by_arrow_or_word(line: str, variant: set[str]) -> None:
    assert part(line).variant == variant


def test_a_capacitor_with_an_arrow_is_polar() -> None:
    assert dict(part("C1 47u/25V P12 -> COM").pins) == {"+": "P12", "-": "COM"}


def test_a_pin_with_an_unlucky_name_stands_in_quotes() -> None:
    stage = section('U1 relay "on"=1V a1=A a2=B')
    assert stage.net("U1.on") == "1V"


# ---- values


@pytest.mark.parametrize(
    ("words", "ohms"),
    [
        ("4k7", 4700),
        ("4,7k", 4700),
        ("4.7 k", 4700),
        ("4700", 4700),
        ("R47", 0.47),
        ("470", 470),
        ("472", 4700),
        ("103", 10e3),
        ("1002", 10e3),
        ("470 Ω", 470),
        ("1M", 1e6),
        ('marked "4700"', 470),
        ('marked "01C"', 10e3),
        ('"about 22R"', 22),
    ],
)
def test_a_resistor_is_what_is_written(words: str, ohms: float) -> None:
    assert part(f"R1 {words} A -- B").quantity("r").typical == pytest.approx(ohms)


@pytest.mark.parametrize("line", ["R1 1k 5% A -- B", "R1 5% 1k A -- B"])
def test_a_written_tolerance_is_kept_apart_from_the_usual_one(line: str) -> None:
    found = part(line)
    assert found.quantity("r").high == pytest.approx(1050)
    assert found.toleranced == {"r"}
    assert part("R1 1k A -- B").toleranced == frozenset()


def test_a_number_that_could_be_a_mark_is_asked_about_once() -> None:
    stage = section("ground COM", *(f"R{n} 470 A -- COM" for n in range(1, 5)))
    assert codes(stage) == ["two-readings"]


def test_five_milliohm_are_no_question_for_a_shunt() -> None:
    assert codes(section("ground COM", "R1 shunt 5m A -- COM", "R2 1k A -- COM")) == []


def test_about_is_a_factor_of_one_and_a_half() -> None:
    found = part("R6 about 22R burnt S -- HOT")
    assert found.burnt
    assert (found.quantity("r").low, found.quantity("r").high) == pytest.approx(
        (22 / 1.5, 33)
    )


def test_a_value_that_cannot_be_read_is_the_whole_interval_of_its_kind() -> None:
    told = part("R15 ? GATE -- COM").quantity("r")
    usual = part("R15 ? GATE -- COM").kind.parameters["r"].quantity
    assert told.origin is Origin.UNKNOWN
    assert (told.typical, told.low, told.high) == (None, usual.low, usual.high)


def test_a_mark_is_remembered_beside_the_value() -> None:
    found = part('R14 47R DRV -- GATE marked "470"')
    assert (found.marked, found.quantity("r").typical) == ("470", 47)
    alone = part('R14 DRV -- GATE marked "470"').quantity("r")
    assert (alone.typical, alone.origin) == (47, Origin.MARKED)


def test_a_parameter_carries_its_test_condition() -> None:
    told = part("D1 diode vf=0.60V@2mA slope=60mV A -> B")
    assert told.quantity("vf").at == pytest.approx(2e-3)
    assert told.quantity("slope").typical == pytest.approx(0.06)


def test_a_threshold_is_a_magnitude() -> None:
    assert part("Q1 pfet g=G d=D s=S vgsth=-3V").quantity("vgsth").typical == 3


def test_ratings_and_type_number_are_kept() -> None:
    found = part("Q1 nfet g=G d=D s=S STW12 rating 600V 20A")
    assert found.type_number == "STW12"
    assert found.given["rated V"].typical == 600
    assert part("C1 47u/25V A -> B").given["rated V"].typical == 25


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("R11 1k A -- B", "resistor"),
        ("D7 zener 15V A -> B", "zener"),
        ("D7 15V zener A -> B", "zener"),
        ("LED1 A -> B", "led"),
        ("D1 diode schottky A -> B", "schottky"),
        ("D1 1N4148 A -> B", "diode"),
        ("X1 current transformer p1=A p2=B s1=C s2=D", "currenttransformer"),
    ],
)
def test_kind_and_value_stand_in_any_order(line: str, kind: str) -> None:
    assert part(line).kind.word == kind


# ---- chains, joins, marks


def test_a_chain_follows_the_copper() -> None:
    stage = section(
        "chain P12 -- R13 1k -- N1 -> D11 -- DRV -- R14 47R -- GATE -- R15 10k -- COM"
    )
    nets = {part.ref: tuple(part.pins.values()) for part in stage.parts}
    assert nets == {
        "R13": ("P12", "N1"),
        "D11": ("N1", "DRV"),
        "R14": ("DRV", "GATE"),
        "R15": ("GATE", "COM"),
    }


def test_a_chain_backwards_turns_the_diode() -> None:
    stage = section("chain DRV <- D11 -- N1")
    assert dict(stage.parts[0].pins) == {"a": "N1", "k": "DRV"}


def test_parts_of_a_chain_meet_in_nets_without_a_name() -> None:
    stage = section("chain BUS -- R1 220k -- R2 220k -- R3 220k -- VCC")
    assert list(stage.nets) == ["BUS", "R1.2", "R2.2", "VCC"]


def test_a_part_line_a_chain_and_a_joins_line_may_agree() -> None:
    stage = section(
        "ground COM",
        "R14 47R DRV -- GATE",
        "R15 10k GATE -- COM",
        "R16 10k DRV -- COM",
        "chain DRV -- R14 -- GATE",
        "GATE joins R14.2 R15.1",
    )
    assert stage.problems == ()


def test_a_pin_on_two_nets_keeps_the_first_and_names_both_lines() -> None:
    stage = section("R1 1k A -- B", "R2 1k A -- B", "C joins R1.1")
    (problem,) = (one for one in stage.problems if one.code == "pin-on-two-nets")
    assert problem.severity is Severity.DOUBT
    assert problem.span is not None
    assert (problem.span.line, problem.related[0].span.line) == (3, 1)
    assert stage.net("R1.1") == "A"


def test_a_part_that_is_only_half_traced_says_so() -> None:
    stage = section("Q1 npn b=A c=B", "Q1.e not traced", "not traced A", "nothing on B")
    assert stage.parts[0].untraced == {"e"}
    assert stage.parts[0].pins["e"] == "Q1.e"
    assert (stage.untraced, stage.unplugged) == (("A",), ("B",))


def test_pads_found_empty_and_parts_taken_out_are_no_part_of_the_circuit() -> None:
    stage = section(
        "D12 absent SW -> P12", "R1 1k removed A -- B", "R2 not fitted A -- B"
    )
    wanted = [Status.ABSENT, Status.REMOVED, Status.ABSENT]
    assert [part.status for part in stage.parts] == wanted


def test_a_broken_track_leaves_the_pin_on_a_net_of_its_own() -> None:
    stage = section("R14 47R DRV -- GATE", "break GATE at R14.2")
    assert stage.net("R14.2") == "R14.2"
    assert (stage.breaks[0].net, stage.breaks[0].pin) == ("GATE", Pin("R14", "2"))


def test_a_touched_part_keeps_why() -> None:
    stage = section("R13 1k A -- B", 'touched R13 "resoldered"')
    assert (stage.parts[0].touched, stage.parts[0].note) == (True, "resoldered")


# ---- files as they come


TEXT = "ground COM\nR1 4,7k GATE -- COM\nR2 10k GATE -- COM\n"


@pytest.mark.parametrize(
    "data",
    [
        TEXT.encode(),
        TEXT.replace("\n", "\r\n").encode(),
        TEXT.encode("utf-8-sig"),
        TEXT.rstrip().encode(),
        TEXT.replace(" ", "\t").encode(),
        (TEXT + "# µ and Ω from the bench computer: 470 µ\n").encode(
            "cp1252", "replace"
        ),
    ],
    ids=["plain", "crlf", "bom", "no last newline", "tabs", "windows"],
)
def test_a_file_may_come_from_any_computer(data: bytes) -> None:
    stage = read(from_bytes("bench.trace", data))
    assert stage.problems == ()
    assert stage.parts[0].quantity("r").typical == 4700


# ---- whatever is typed


@given(section_texts(), st.data())
def test_no_slip_of_the_pen_stops_the_reader(text: str, data: st.DataObject) -> None:
    words = text.split(" ")
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(words) - 1))
        words[at] = data.draw(st.sampled_from([*words, "--", "?", "->", "=", '"', ""]))
    spoilt = " ".join(words)
    stage = read(from_text("spoilt.trace", spoilt))
    lines = spoilt.split("\n")
    for problem in stage.problems:
        assert problem.span
        assert problem.span.end <= len(lines[problem.span.line - 1]) + 2


def test_problems_come_in_the_order_of_the_lines() -> None:
    stage = section("R1 1k A -- B", "Q9 npm b=A", "R2 1kk A -- B", "rail P12")
    places = [problem.span for problem in stage.problems if problem.span]
    assert places == sorted(places)
