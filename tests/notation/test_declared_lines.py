"""Lines that declare: titles, grounds, rails, inputs and parts."""

import pytest

from tests.notation.nodes import one, pairs, said, way
from tracegraph.diagnostics import Span
from tracegraph.notation import syntax
from tracegraph.notation.syntax import Word


def test_a_title_is_what_stands_in_quotes() -> None:
    assert one(syntax.Titled, 'STAGE "left drive"').title.text == "left drive"
    assert one(syntax.Titled, "stage “left drive”").title.text == "left drive"


def test_several_grounds_may_stand_on_one_line() -> None:
    assert said(one(syntax.GroundLine, "ground COM E1").nets) == ["COM", "E1"]
    assert said(one(syntax.GroundLine, "ground COM, E1").nets) == ["COM", "E1"]


@pytest.mark.parametrize("line", ["rail VB 15V 5% over SW", "rail VB over SW 15 V 5 %"])
def test_a_rail_has_its_values_in_any_order(line: str) -> None:
    rail = one(syntax.RailLine, line)
    assert rail.net.text == "VB"
    assert said(rail.values) == ["15V", "5%"]
    assert rail.over
    assert rail.over.text == "SW"


@pytest.mark.parametrize(
    ("shown", "values"),
    [
        ("1k8", ["1k8"]),
        ("1,8 k", ["1,8k"]),
        ("none", ["none"]),
        ("470u", ["470u"]),
        ("diode 0.45 / 1.20", ["diode", "0.45", "/", "1.20"]),
        ("diode 0.45/OL", ["diode", "0.45", "/", "OL"]),
    ],
)
def test_a_rest_is_what_the_meter_showed(shown: str, values: list[str]) -> None:
    rest = one(syntax.RestLine, f"rest P12 -- COM {shown}")
    assert way(rest.ends) == "P12 -- COM"
    assert said(rest.values) == values


@pytest.mark.parametrize(
    "line",
    [
        "input PWM 0V / 5V via 220R 18kHz 45%",
        "input PWM 18kHz 45% 0V/5V via 220R",
        "input PWM 0 V / 5 V via 220 R 18 kHz 45 %",
        "input PWM 0 V/5 V via 220 R 18 kHz 45 %",
    ],
)
def test_an_input_has_two_levels_and_a_driver(line: str) -> None:
    found = one(syntax.InputLine, line)
    assert found.low
    assert found.high
    assert found.via
    levels = [found.net.text, found.low.text, found.high.text, found.via.text]
    assert levels == ["PWM", "0V", "5V", "220R"]
    assert said(found.values) == ["18kHz", "45%"]


def test_an_input_may_be_known_by_its_name_alone() -> None:
    found = one(syntax.InputLine, "input PWM")
    assert (found.low, found.high, found.via, found.values) == (None, None, None, ())


@pytest.mark.parametrize(
    ("line", "words", "ends"),
    [
        ("R11 1k 5% PWM -- B1", ["1k", "5%"], "PWM -- B1"),
        ("r11 PWM -- B1 5% 1k", ["5%", "1k"], "PWM -- B1"),
        ("R5 1k INPUT -- GROUND", ["1k"], "INPUT -- GROUND"),
        ("R5 1k NOTE -- END", ["1k"], "NOTE -- END"),
        ("R5 1k IN -- WITH", ["1k"], "IN -- WITH"),
        ("R5 10 A -- V", ["10"], "A -- V"),
        ("R5 470 k A -- B", ["470k"], "A -- B"),
        ("R5 4,7k +15 -- -8", ["4,7k"], "+15 -- -8"),
        ("R5 47Ω HV+ -- MOTOR~", ["47Ω"], "HV+ -- MOTOR~"),
        ("R5 47 \u2126 3.3V -- RESET#", ["47\u2126"], "3.3V -- RESET#"),
        ("C5 10 µF/25V 0V -- V_REF/2", ["10", "µF/25V"], "0V -- V_REF/2"),
        ("R5 ? Q11.b -- U7.A.out", ["?"], "Q11.b -- U7.A.out"),
        ("D11 diode N1 -> DRV", ["diode"], "N1 -> DRV"),
        ("D11 diode DRV <- N1", ["diode"], "N1 -> DRV"),
        ("D11 diode N1 → DRV", ["diode"], "N1 -> DRV"),
        ("R5 1k A — B", ["1k"], "A -- B"),
        ("D12 absent SW -> P12", ["absent"], "SW -> P12"),
        ("D7 15V zener A -> K", ["15V", "zener"], "A -> K"),
        ("D2 1N4148 A -> K", ["1N4148"], "A -> K"),
    ],
)
def test_a_two_ended_part(line: str, words: list[str], ends: str) -> None:
    part = one(syntax.PartLine, line)
    assert said(part.words) == words
    assert way(part.ends) == ends


def test_a_part_with_named_pins() -> None:
    part = one(syntax.PartLine, 'Q12 pnp "BC857" b=N1 e = DRV c=COM, vf=0.6 V@1mA')
    assert said(part.words) == ["pnp", "BC857", "V@1mA"]
    assert pairs(part.settings) == {"b": "N1", "e": "DRV", "c": "COM", "vf": "0.6"}
    assert part.words[1].quoted


@pytest.mark.parametrize(
    ("setting", "name", "value"),
    [
        ("out/1=TRIP", "out/1", "TRIP"),
        ("in-/2=REF", "in-/2", "REF"),
        ("in+/3=SENSE", "in+/3", "SENSE"),
        ('"VREF"=P3', "VREF", "P3"),
        ('"A=B"=P3', "A=B", "P3"),
        ("vf=0.60V@1mA", "vf", "0.60V@1mA"),
        ("vf=0,60V@1mA", "vf", "0,60V@1mA"),
        ("rdson=0.3R@10V", "rdson", "0.3R@10V"),
        ("ctr=100 %", "ctr", "100%"),
        ("1=-8", "1", "-8"),
        ("+=HV+", "+", "HV+"),
        ("b=IN", "b", "IN"),
        ("note=END", "note", "END"),
    ],
)
def test_a_setting_is_a_name_and_a_value(setting: str, name: str, value: str) -> None:
    part = one(syntax.PartLine, f"U7.A comparator {setting} x=Y")
    assert pairs(part.settings) == {name: value, "x": "Y"}
    assert said(part.words) == ["comparator"]


def test_what_a_part_says_of_itself() -> None:
    part = one(
        syntax.PartLine,
        'T1.pri BUS -- DRAIN 60 turns 0R8 dot BUS marked "470" about 22 R'
        ' rating 600 V 20A burnt note "hot"',
    )
    assert part.ref.text == "T1.pri"
    assert said(part.words) == ["60", "turns", "0R8", "burnt"]
    assert [w.text for w in (part.dot, part.marked, part.about) if w] == [
        "BUS",
        "470",
        "22R",
    ]
    assert said(part.rating) == ["600V", "20A"]
    assert part.note
    assert part.note.text == "hot"


def test_about_may_stand_in_quotes() -> None:
    part = one(syntax.PartLine, 'R7 "about 22R" GATE -- COM')
    assert part.words == ()
    assert part.about == Word("22R", Span(1, 11, 14))


def test_an_unknown_pinout_is_a_question_mark() -> None:
    part = one(syntax.PartLine, "Q5 npn ? 1=A 2=B 3=C")
    assert said(part.words) == ["npn", "?"]


def test_an_igbt_without_its_diode_says_so_in_words() -> None:
    part = one(syntax.PartLine, "Q14 igbt no diode g=G c=C e=E")
    assert said(part.words) == ["igbt", "no", "diode"]
