"""The plain graph: every part, net and pin once, and no name taken for markup."""

import json
import re
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

import tracegraph
from tracegraph.draw.dot import picture
from tracegraph.draw.graph import graph_source
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Ground, Stage

SVG = "{http://www.w3.org/2000/svg}"
SMALL = """\
ground COM
rail P12 12V
R1 1k P12 -- OUT
Q1 npn b=OUT c=P12 e=COM
D1 absent OUT -> COM
link OUT SENSE ?
R2 4k7 SENSE -- COM
"""
HOSTILE = [
    "<b>x</b>",
    "a\\nb\\N",
    '"q"',
    "a:b:c",
    "&lt;&amp;",
    "{a|b}",
    "<script>",
    "\\",
]


def shown(source: str) -> list[str]:
    """Return the words in the picture of a graph."""
    root = ET.fromstring(picture(source, "svg"))
    return [one.text or "" for one in root.iter(f"{SVG}text")]


def named(name: str) -> Stage:
    part = Part(name, KINDS["resistor"], {"1": name, "2": "COM"})
    return Stage(parts=(part,), grounds=(Ground("COM"),))


def test_every_pin_is_a_line() -> None:
    stage = tracegraph.read(SMALL)
    answer = json.loads(picture(graph_source(stage), "json"))
    nodes = {one["_gvid"]: one["label"] for one in answer["objects"]}
    lines = {
        (nodes[one["tail"]], nodes[one["head"]], one["label"])
        for one in answer["edges"]
    }
    assert len(answer["objects"]) == len(stage.parts) + len(stage.nets)
    assert ("Q1", "OUT", "b") in lines
    assert ("R1\\n1k", "P12", "1") in lines
    assert ("OUT", "SENSE", "link") in lines
    pins = sum(len(part.pins) for part in stage.parts)
    assert len(answer["edges"]) == pins + len(stage.links)


def test_what_is_not_there_and_what_is_doubted_is_dashed() -> None:
    lines = graph_source(tracegraph.read(SMALL)).splitlines()
    dashed = [re.findall(r"label=(\S+)", one)[0] for one in lines if "dashed" in one]
    assert dashed == ["D1", "link"]


def test_the_same_section_gives_the_same_graph() -> None:
    stage = tracegraph.read(SMALL)
    assert graph_source(stage) == graph_source(stage)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_shown_as_it_is(name: str) -> None:
    assert shown(graph_source(named(name))).count(name) == 2


@given(st.text(st.characters(), max_size=80))
def test_no_name_breaks_the_graph(name: str) -> None:
    words = shown(graph_source(named(name)))
    assert words.count("COM") >= 1
    assert words.count("1") >= 1
