"""Missing parts find a free place near their nets, and nothing else moves."""

import pytest

from tests.draw.written import section_of
from tracegraph.draw.draw import draw
from tracegraph.draw.drawing import PortForm
from tracegraph.draw.ghosts import Haunted, with_ghosts
from tracegraph.draw.items import Section
from tracegraph.draw.layout import Laid, arrangements, wired
from tracegraph.draw.overlay import Ghost, Overlay
from tracegraph.draw.place import Spacing
from tracegraph.draw.shapes import Box, Tone
from tracegraph.draw.symbol import Leg
from tracegraph.notation.source import from_text
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.stage.read import read

PATH = """\
input IN 0V / 5V
R1 1k IN -- A
Q1 npn b=A c=B e=COM
R2 1k P12 -- B
R3 1k B -- C
Q2 nfet g=C d=P12 s=COM
"""
PULL_DOWN = Ghost(Part("R9", KINDS["resistor"], {"1": "A", "2": "COM"}))
BESIDE = Ghost(Part("C9", KINDS["capacitor"], {"1": "A", "2": "C"}))


@pytest.fixture(scope="module")
def section() -> Section:
    return section_of(PATH)


@pytest.fixture(scope="module")
def laid(section: Section) -> Laid:
    (cells,) = arrangements(section, [(Spacing(5, 4), False)])
    return wired(cells, polish=True)


def legs(found: Haunted) -> dict[str, Leg]:
    (ghost,) = found.drawn
    return {leg.pin: leg for leg in ghost.legs}


def test_a_missing_pull_down_stands_on_a_ground_and_is_wired_to_its_net(
    section: Section, laid: Laid
) -> None:
    found = with_ghosts(section, laid, [PULL_DOWN], ())
    assert found.laid == laid
    (ghost,), (wire,), (port,) = found.drawn, found.wires, found.ports
    at = legs(found)
    assert ghost.status == "ghost"
    assert at["1"].at[0] == at["2"].at[0]
    assert at["1"].at[1] < at["2"].at[1]
    assert wire.ghost
    assert wire.net == "A"
    assert {end for piece in wire.segments for end in piece} >= {at["1"].at}
    assert port.ghost
    assert (port.net, port.form) == ("COM", PortForm.GROUND)
    assert {shape.tone for shape in (*ghost.shapes, *port.shapes)} == {Tone.ABSENT}


def test_a_missing_part_stands_on_nothing(section: Section, laid: Laid) -> None:
    found = with_ghosts(section, laid, [PULL_DOWN, BESIDE], ())
    bodies = [one.body for one in (*laid.drawn, *found.drawn)]
    assert len(found.drawn) == 2
    for k, one in enumerate(bodies):
        assert not any(one.meets(other) for other in bodies[k + 1 :])


def test_names_of_nets_stay_where_they_are(section: Section, laid: Laid) -> None:
    before = with_ghosts(section, laid, [PULL_DOWN], ())
    name = before.drawn[0].body
    after = with_ghosts(section, laid, [PULL_DOWN], [name])
    assert not after.drawn[0].body.meets(name)


def test_a_missing_part_with_no_room_goes_to_a_row_below(
    section: Section, laid: Laid
) -> None:
    wide, high = laid.size
    found = with_ghosts(section, laid, [PULL_DOWN], [Box(0, 0, wide, high)])
    (ghost,) = found.drawn
    assert ghost.body.top > high
    assert found.laid.size[1] > high
    assert found.laid._replace(size=laid.size) == laid
    assert found.wires == ()
    forms = {port.net: port.form for port in found.ports}
    assert forms == {"A": PortForm.NAME, "COM": PortForm.GROUND}


def test_two_of_them_do_not_stand_on_each_other_there(
    section: Section, laid: Laid
) -> None:
    wide, high = laid.size
    found = with_ghosts(section, laid, [PULL_DOWN, BESIDE], [Box(0, 0, wide, high)])
    one, other = found.drawn
    assert not one.body.meets(other.body)
    assert other.body.bottom <= found.laid.size[1]


def test_one_that_is_here_by_the_same_name_is_told_apart(
    section: Section, laid: Laid
) -> None:
    again = Ghost(Part("R1", KINDS["resistor"], {"1": "A", "2": "COM"}))
    (ghost,) = with_ghosts(section, laid, [again], ()).drawn
    assert ghost.ref == "R1 (missing)"


def test_without_missing_parts_the_sheet_is_itself(
    section: Section, laid: Laid
) -> None:
    assert with_ghosts(section, laid, [], ()) == Haunted(laid)


def test_one_on_a_net_that_is_not_here_is_drawn_all_the_same() -> None:
    stage = read(from_text("t", "ground COM\nR1 1k A -- COM\nR2 1k A -- COM\n"))
    own = Part("C9", KINDS["capacitor"], {"1": "X9", "2": "X9"})
    half = Part("C8", KINDS["capacitor"], {"1": "X8", "2": "COM"})
    (sheet,) = draw(stage, (Overlay("", ghosts=(Ghost(own), Ghost(half))),)).sheets
    assert [part.ref for part in sheet.parts if part.status == "ghost"] == ["C9", "C8"]


def test_one_between_rails_only_stands_on_one_sheet_only() -> None:
    lines = [f"R{k} 1k N{k // 2} -- N{k // 2 + 1}" for k in range(90)]
    text = "ground COM\nrail P5 5V\n" + "\n".join(lines) + "\n"
    ghost = Ghost(Part("C9", KINDS["capacitor"], {"1": "P5", "2": "COM"}))
    sheets = draw(read(from_text("t", text)), (Overlay("", ghosts=(ghost,)),)).sheets
    assert len(sheets) > 1
    assert [part.ref for s in sheets for part in s.parts].count("C9") == 1
