"""Texts, rails and flags stand at parts so that they can be read."""

from itertools import combinations

import pytest

from tests.draw.written import cells, part_of, section_of, sheet_of
from tracegraph.draw.cell import text_box
from tracegraph.draw.drawing import Drawn, Port, PortForm
from tracegraph.draw.dress import WIDEST, end_port, hub_port
from tracegraph.draw.ends import Ending
from tracegraph.draw.shapes import Anchor, Side, Stroke, Tone

LONG = "BC847C-selected-for-gain-and-marked-by-hand-with-green-paint"


def port(lines: str, net: str, head: str = "ground COM\nrail P12 12V\n") -> Port:
    found = [one for cell in cells(lines, head) for one in cell.ports]
    return next(one for one in found if one.net == net)


def test_designator_is_bold_over_a_faint_value() -> None:
    name, value = part_of(sheet_of("R1 4k7 A -- COM\nR2 1k A -- P12\n"), "R1").texts
    assert (name.text, name.bold, value.text, value.tone) == (
        "R1",
        True,
        "4k7",
        "faint",
    )
    assert name.at[1] < value.at[1]


def test_an_upright_part_is_named_on_its_right_but_where_its_control_is_there() -> None:
    (stack,) = cells("R1 1k P12 -- COM\n")
    (one,) = stack.drawn
    assert one.texts[0].anchor is Anchor.START
    assert one.texts[0].at[0] > one.body.right
    lines = "input IN 0V / 5V\nR1 1k IN -- A\nR2 1k A -- B\nQ1 npn b=B c=IN e=COM\n"
    mirrored = next(cell for cell in cells(lines) if cell.drawn[0].ref == "Q1").drawn[0]
    assert mirrored.texts[0].anchor is Anchor.END
    assert mirrored.texts[0].at[0] < mirrored.body.left


def test_a_lying_part_is_as_long_as_its_texts_ask_for() -> None:
    def lying(words: str) -> Drawn:
        return cells(f"D1 {words} A -> B\nQ1 npn b=B c=A e=COM\n")[0].drawn[0]

    def length(one: Drawn) -> int:
        return abs(one.legs[0].at[0] - one.legs[1].at[0])

    plain, wide = lying("diode"), lying(f'diode "{LONG}"')
    texts = max(text_box(text).right - text_box(text).left for text in wide.texts)
    assert length(plain) < texts <= length(wide)


def test_a_long_name_is_cut_in_its_box_and_whole_in_its_title() -> None:
    one = part_of(sheet_of(f'Q1 npn "{LONG}" b=B c=P12 e=COM\nR1 1k B -- COM\n'), "Q1")
    told = next(text for text in one.texts if text.full)
    assert told.full == LONG
    assert told.text.endswith("…")
    assert text_box(told).right - text_box(told).left <= WIDEST
    assert LONG in one.title


@pytest.mark.parametrize(
    ("word", "status", "tone"),
    [("", "fitted", Tone.INK), ("absent", "absent", Tone.ABSENT)],
)
def test_a_missing_part_is_dashed_and_in_a_tone_of_its_own(
    word: str, status: str, tone: Tone
) -> None:
    one = part_of(sheet_of(f"R1 {word} 1k P12 -- COM\n"), "R1")
    assert one.status == status
    strokes = [shape for shape in one.shapes if isinstance(shape, Stroke)]
    assert {stroke.tone for stroke in strokes} == {tone}
    assert any(stroke.dashed for stroke in strokes) is (word == "absent")
    assert one.texts[0].tone is tone


def test_every_pin_on_a_rail_or_ground_has_a_symbol_of_its_own() -> None:
    lines = "R1 1k P12 -- A\nR2 1k P12 -- A\nR3 1k A -- COM\n"
    forms = [(one.net, one.form) for one in sheet_of(lines).ports]
    assert forms.count(("P12", PortForm.RAIL)) == 2
    assert forms.count(("COM", PortForm.GROUND)) == 1
    assert port(lines, "P12").title == "rail P12, 12 V when powered"


def test_a_rail_without_volts_tells_none() -> None:
    assert (
        port("R1 1k BUS -- COM\n", "BUS", "ground COM\nrail BUS ?\n").title
        == "rail BUS"
    )


def test_a_ground_is_named_only_where_there_are_several() -> None:
    lines = "R1 1k COM -- P12\n"
    assert port(lines, "COM").texts == ()
    both = "ground COM HOT\nrail P12 12V\n"
    assert [text.text for text in port(lines, "COM", both).texts] == ["COM"]


def test_neighbouring_symbols_keep_clear_of_each_other() -> None:
    """Three wide rails on three pins side by side: their leads get longer."""
    head = "ground COM\n" + "".join(f"rail LONG_RAIL_{k} {k}V\n" for k in (1, 2, 3))
    lines = "J1 connector 1=LONG_RAIL_1 2=LONG_RAIL_2 3=LONG_RAIL_3 4=COM\n"
    lines += "U1 ic vcc/1=LONG_RAIL_1 vdd/2=LONG_RAIL_2 vee/3=LONG_RAIL_3 gnd/4=COM\n"
    for cell in cells(lines, head):
        assert len(cell.ports) == 4
        for one, other in combinations(cell.ports, 2):
            assert not one.box.meets(other.box)


def test_a_pin_that_is_not_traced_ends_in_a_stub_with_its_title() -> None:
    lines = "U1 ic 1=A 2=COM\nR1 1k A -- COM\nU1.3 not traced\n"
    stub = next(one for one in sheet_of(lines).ports if one.form is PortForm.UNTRACED)
    assert stub.title == "U1.3: not traced further"


def test_a_net_with_one_pin_here_has_its_name_at_it() -> None:
    alone = port("R1 1k LONELY -- COM\n", "LONELY")
    assert (alone.form, alone.title) == (
        PortForm.NAME,
        "net LONELY: only this pin is traced",
    )
    assert [text.text for text in alone.texts] == ["LONELY"]


def test_a_net_joined_by_name_has_a_flag_at_every_pin() -> None:
    section = section_of("R1 1k P12 -- A\nR2 1k A -- COM\n").joining(frozenset(("A",)))
    flag = hub_port(section, "A", (3, 4), Side.DOWN)
    assert (flag.form, flag.title) == (PortForm.NAME, "net A, joined by its name")


@pytest.mark.parametrize("side", Side)
def test_the_name_of_an_open_end_is_beyond_it_in_its_box(side: Side) -> None:
    ending = Ending(PortForm.UNPLUGGED, "its plug is out", "FAN")
    found = end_port(ending, "FAN", (0, 0), side)
    (text,) = [one for one in found.texts if one.text == "FAN"]
    box = text_box(text)
    x, y = box.centre
    assert x * side.step[0] + y * side.step[1] > 0
    assert found.box.left <= box.left <= box.right <= found.box.right
    assert found.box.top <= box.top <= box.bottom <= found.box.bottom
