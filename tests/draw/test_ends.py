"""Every reason for a flag is told in words."""

from tests.draw.written import section_of
from tracegraph.draw.drawing import PortForm
from tracegraph.draw.ends import Ending, endings
from tracegraph.draw.items import Section

PAIR = "R1 1k A -- B\nR2 1k A -- B\n"


def reasons(lines: str, net: str = "A") -> list[Ending]:
    return list(endings(section_of(PAIR + lines), net))


def test_a_plain_net_has_no_reason() -> None:
    assert reasons("") == []


def test_an_input_is_driven_when_powered() -> None:
    told = "input A: a controller drives it when powered"
    assert reasons("input A 0V / 5V\n") == [Ending(PortForm.INPUT, told, "A")]


def test_more_may_hang_on_what_is_not_traced_to_its_end() -> None:
    told = "net A is not traced to its end: more may hang on it"
    assert reasons("not traced A\n") == [Ending(PortForm.UNTRACED, told, "A")]


def test_a_plug_that_is_out_is_told() -> None:
    told = "net A: its plug is out"
    assert reasons("nothing on A\n") == [Ending(PortForm.UNPLUGGED, told, "A")]


def test_a_net_may_have_several_and_tells_the_other_sheets() -> None:
    plain = section_of(PAIR + "input A 0V / 5V\nnot traced A\n")
    section = Section(plain.stage, plain.items, {"A": (2, 4)})
    found = list(endings(section, "A"))
    assert [one.form for one in found] == ["input", "untraced", "sheet"]
    assert found[-1] == Ending(
        PortForm.SHEET, "net A goes on on sheet 2, 4", "A → 2, 4"
    )
