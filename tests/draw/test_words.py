"""What is written at a part, as the bench writes it."""

import pytest

from tests.draw.written import stage_of
from tracegraph.draw.items import Item, items_of
from tracegraph.draw.words import designator, in_words, value


def item(line: str) -> Item:
    return items_of(stage_of(line))[0]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("R1 4k7 A -- B", "R1"),
        ("R1 absent 4k7 A -- B", "R1 empty"),
        ("R1 removed 4k7 A -- B", "R1 out"),
        ("R1 burnt 4k7 A -- B", "R1 burnt"),
        ('R1 4k7 A -- B\ntouched R1 "resoldered"', "R1 ◇"),
        ("link A B", "link"),
        ("link A B ?", "link ?"),
        ("bridge A B 12R", "bridge found"),
        ("rest P12 -- COM 1k8", "rest of board"),
    ],
)
def test_the_bold_line(line: str, told: str) -> None:
    assert designator(item(line)) == told


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("R1 4k7 A -- B", "4k7"),
        ("R1 ? A -- B", "?"),
        ("R1 shunt 0R02 A -- B", "0R02"),
        ("C1 100n A -- B", "100n"),
        ("C1 470u/100V A -> B", "470u/100V"),
        ("D1 zener 15V A -> B", "15V"),
        ("D1 diode A -> B", ""),
        ('Q1 npn "BC847" b=A c=B e=COM', "BC847"),
        ("Q1 nfet g=A d=B s=COM rating 500V 20A", "500V/20A"),
        ("rest P12 -- COM 1k8", "1k8"),
    ],
)
def test_the_faint_line(line: str, told: str) -> None:
    assert value(item(line).part) == told


def test_all_that_was_found_is_told_when_pointed_at() -> None:
    told = in_words(item('R1 burnt 4k7 A -- B marked "472"\ntouched R1 "again"\n'))
    assert told.startswith("R1: resistor, 4k7, burnt, touched: resoldered by somebody")
    assert 'marked "472"' in told


def test_a_pinout_that_is_not_known_is_told() -> None:
    assert "pinout not known" in in_words(item("Q1 npn ? 1=A 2=B 3=COM"))
    assert "pinout" not in in_words(item("Q1 npn b=A c=B e=COM"))


def test_a_link_is_told_without_a_designator() -> None:
    assert in_words(item("link A B ?")) == "link ?, beeps, but no track is seen"
