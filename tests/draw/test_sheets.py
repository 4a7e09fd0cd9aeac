"""A large section is parted: each item once, channels whole, nets told to go on."""

from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from tests.draw.random_stage import random_stage
from tracegraph.draw.draw import draw
from tracegraph.draw.drawing import PortForm, Sheet
from tracegraph.draw.items import Section, items_of
from tracegraph.draw.sheets import MOST, WHOLE, sections_of
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read

HEAD = "ground COM\nrail P12 12V\nrail P5 5V\n"


def phase(name: str, parts: int) -> str:
    """Return a channel: resistors in a line from BUS, a capacitor at every joint."""
    lines, before, first = [f"channel {name}"], "BUS", 100 * ord(name)
    for k in range(first, first + parts // 2):
        lines += [f"R{k} 1k {before} -- {name}{k}", f"C{k} 1u {name}{k} -- COM"]
        before = f"{name}{k}"
    return "\n".join([*lines, "end", ""])


@cache
def parted(text: str) -> tuple[Section, tuple[Section, ...]]:
    """Return a section whole, and parted for its sheets."""
    stage = read(from_text("large.trace", text))
    whole = Section(stage, items_of(stage))
    return whole, sections_of(whole)


RAILS = "R1 1k P12 -- BUS\nC1 1u P5 -- COM\n"
THREE = HEAD + "".join(phase(name, 30) for name in "UVW") + RAILS
HUNDRED = (Path(__file__).parent / "hundred.trace").read_text("utf-8")
TEXTS = [THREE, HUNDRED, random_stage(1, 90), random_stage(2, 130)]
large = pytest.mark.parametrize(
    "text", TEXTS, ids=["three phases", "a hundred parts", "random 90", "random 130"]
)


def refs(section: Section) -> list[str]:
    return [item.ref for item in section.items]


def test_a_section_that_fits_is_one_sheet() -> None:
    whole, sheets = parted(HEAD + phase("U", WHOLE))
    assert len(whole.items) == WHOLE
    assert sheets == (whole,)
    more, two = parted(
        HEAD + "".join(f"R{k} 1k N{k} -- N{k + 1}\n" for k in range(WHOLE + 1))
    )
    assert len(more.items) == WHOLE + 1
    assert len(two) == 2


@large
def test_every_item_is_on_just_one_sheet_in_its_order(text: str) -> None:
    whole, sheets = parted(text)
    assert len(sheets) > 1
    assert Counter(ref for one in sheets for ref in refs(one)) == Counter(refs(whole))
    place = {ref: number for number, ref in enumerate(refs(whole))}
    for one in sheets:
        numbers = [place[ref] for ref in refs(one)]
        assert numbers == sorted(numbers)
    firsts = [place[refs(one)[0]] for one in sheets]
    assert firsts == sorted(firsts)


@large
def test_a_sister_channel_is_never_parted(text: str) -> None:
    where: dict[str, set[int]] = {}
    for number, one in enumerate(parted(text)[1]):
        for item in one.items:
            where.setdefault(item.part.channel, set()).add(number)
    where.pop("", None)
    assert {len(sheets) for sheets in where.values()} <= {1}


def test_the_phases_stand_each_on_one_sheet() -> None:
    channels = [
        {item.part.channel for item in one.items} - {""} for one in parted(THREE)[1]
    ]
    assert sorted(name for names in channels for name in names) == ["U", "V", "W"]


@large
def test_what_goes_on_is_told_on_each_of_its_sheets(text: str) -> None:
    """Worked out anew: a net that is no hub, on the sheets where its pins are."""
    whole, sheets = parted(text)
    on: dict[str, set[int]] = {}
    for number, one in enumerate(sheets, 1):
        for item in one.items:
            for net in set(item.nets.values()) - whole.hubs:
                on.setdefault(net, set()).add(number)
    for number, one in enumerate(sheets, 1):
        wanted = {
            net: numbers - {number}
            for net, numbers in on.items()
            if number in numbers and len(numbers) > 1
        }
        assert {net: set(numbers) for net, numbers in one.beyond.items()} == wanted


@large
def test_no_sheet_is_crowded_but_by_what_hangs_on_rails_only(text: str) -> None:
    whole, sheets = parted(text)
    shared = {
        net
        for net, pins in whole.pins.items()
        if len({item.ref for item, _ in pins}) > 1
    }
    for one in sheets:
        wired = [item for item in one.items if shared & {*item.nets.values()}]
        assert len(wired) <= MOST


def test_a_channel_larger_than_a_sheet_stays_whole() -> None:
    large = phase("U", MOST + 12) + phase("V", 30)
    sizes = [len(one.items) for one in parted(HEAD + large)[1]]
    assert sizes == [MOST + 12, 30]


def test_a_net_that_goes_on_has_its_flag_on_each_sheet() -> None:
    drawing = draw(read(from_text("large.trace", THREE)))
    flags = [_flags(sheet) for sheet in drawing.sheets]
    assert len(flags) > 1
    for number, found in enumerate(flags, 1):
        others = [n for n in range(1, len(flags) + 1) if n != number and flags[n - 1]]
        assert found["BUS"] == f"BUS → {', '.join(map(str, others))}"


def _flags(sheet: Sheet) -> dict[str, str]:
    """Return what stands in each flag to other sheets, by net."""
    ports = [port for port in sheet.ports if port.form is PortForm.SHEET]
    return {port.net: port.texts[0].text for port in ports}


def test_what_hangs_on_rails_only_goes_where_its_rail_is_used() -> None:
    sheets = parted(HEAD + P5_USERS)[1]
    (home,) = [one for one in sheets if "C999" in refs(one)]
    users = [one for one in sheets if "R500" in refs(one)]
    assert users == [home]


P5_USERS = "".join(
    [
        "C999 100n P5 -- COM\n",
        *(f"R{k} 1k A{k} -- A{k + 1}\n" for k in range(40)),
        *(f"R{k} 1k B{k} -- P5\nC{k} 1u B{k} -- B{k + 1}\n" for k in range(500, 520)),
    ]
)
"""A line of resistors, and another group whose resistors all go to P5."""
