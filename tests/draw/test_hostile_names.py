"""Names that would break a page or a box are safe, stay in their boxes, and read back."""

from dataclasses import replace
from types import MappingProxyType
from xml.etree import ElementTree as ET

import pytest

from tests.draw.geometry import faults
from tests.draw.readback import assert_same_netlist
from tracegraph.draw.draw import draw
from tracegraph.notation.source import from_text
from tracegraph.stage.part import Part
from tracegraph.stage.read import read
from tracegraph.stage.stage import Ground, Stage
from tracegraph.views.svg import svg

NAMES = {
    "script": "<script>alert(1)</script>",
    "closing": "</text></svg><script>",
    "comment": "--><!-- ]]> <![CDATA[",
    "entity": "&lt;&amp;&#0;&nope;",
    "quotes": "\"'`",
    "long": "X" * 300,
    "right to left": "שלום עולם",
    "turned": "\u202eDEVIL\u202c",
    "emoji": "🔥👩‍🔧🇨🇭",
    "wide": "栅极驱动",
    "stacked": "e" + "\u0301" * 40,
    "lines": "one two   three",
}
SECTION = """\
ground COM
rail P12 12V
input PWM 0V / 5V
R1 1k PWM -- B1
Q1 npn b=B1 c=SW e=COM
D1 diode SW -> P12
C1 100n P12 -- COM
U1 ic 1=SW 2=COM 3=P12
J1 connector 1=SW 2=P12
R2 10k B1 -- COM
R3 4k7 MID -- SW
R4 4k7 MID -- COM
not traced MID
link B1 SW ?
"""


def renamed(stage: Stage, name: str) -> Stage:
    """Return a section in which everything that can be is called by a name."""

    def net(own: str) -> str:
        return f"{name}{own}"

    def part(one: Part) -> Part:
        return replace(
            one,
            ref=f"{name}{one.ref}",
            pins=MappingProxyType({pin: net(own) for pin, own in one.pins.items()}),
            type_number=name,
            marked=name,
            note=name,
            burnt=True,
        )

    return replace(
        stage,
        title=name,
        parts=tuple(map(part, stage.parts)),
        grounds=(*(Ground(net(one.net)) for one in stage.grounds), Ground(net("E"))),
        rails=tuple(
            one._replace(net=net(one.net), over=net(one.over)) for one in stage.rails
        ),
        inputs=tuple(one._replace(net=net(one.net)) for one in stage.inputs),
        links=tuple(one._replace(a=net(one.a), b=net(one.b)) for one in stage.links),
        untraced=tuple(map(net, stage.untraced)),
        notes=(name,),
    )


def pins_renamed(stage: Stage, name: str) -> Stage:
    """Return a section whose chip and connector have pins called by a name."""

    def part(one: Part) -> Part:
        if not one.kind.open_pins:
            return one
        pins = {f"{name}{pin}": own for pin, own in one.pins.items()}
        return replace(one, pins=MappingProxyType(pins))

    return replace(stage, parts=tuple(map(part, stage.parts)))


def hold(stage: Stage) -> None:
    sheets = draw(stage).sheets
    texts = [svg(sheet) for sheet in sheets]
    for text in texts:
        words = {
            element.tag.rpartition("}")[2] for element in ET.fromstring(text).iter()
        }
        known = {"svg", "title", "desc", "g", "path", "circle", "rect", "text"}
        assert words <= known, words - known
    assert_same_netlist(stage, texts)
    assert [fault for sheet in sheets for fault in faults(sheet)] == []


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_a_section_of_hostile_names_is_safe_and_true(name: str) -> None:
    hold(renamed(read(from_text("hostile.trace", SECTION)), name))


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_pins_of_hostile_names_are_safe_and_true(name: str) -> None:
    hold(pins_renamed(read(from_text("hostile.trace", SECTION)), name))


@pytest.mark.parametrize("name", ["a\x00b", "\x1b[31m", "\ud800", "\ufffe", "a\nb\tc"])
def test_names_that_xml_has_no_place_for_still_give_a_picture(name: str) -> None:
    for stage in (renamed, pins_renamed):
        drawn = draw(stage(read(from_text("hostile.trace", SECTION)), name))
        for sheet in drawn.sheets:
            ET.fromstring(svg(sheet))
            svg(sheet).encode("utf-8")
            assert faults(sheet) == []


def test_what_the_notation_admits_in_quotes_is_safe() -> None:
    text = SECTION.replace("R1 1k", 'R1 1k "<script>🔥</script>"')
    text = f'stage "</title>\u202eשלום <b> {"X" * 300}"\n{text}note "<img onerror=x>"\n'
    stage = read(from_text("hostile.trace", text))
    assert "<script>" in stage.parts[0].type_number
    hold(stage)
