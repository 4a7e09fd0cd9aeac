"""Differences become marks, ghosts and joins, each where a technician would look."""

import pytest

from tracegraph.asking.api import read
from tracegraph.compare.compare import compare
from tracegraph.draw.overlay import Join, Mark, OnPart, Role
from tracegraph.stage.part import Pin
from tracegraph.views.compared_overlay import compared_overlay

GOOD = """\
stage "good"
ground COM
rail P12 12V
input IN 0V / 5V
R1 1k IN -- B
R2 10k B -- COM
Q1 npn b=B c=OUT e=COM
R3 2k2 P12 -- OUT
D1 diode OUT -> P12
C1 100n OUT -- COM
J1 connector 1=OUT 2=COM
"""


def layer(
    old: str, new: str
) -> tuple[tuple[Mark, ...], tuple[str, ...], tuple[Join, ...]]:
    """Return marks, missing parts and joins of a board on which a line was changed."""
    traced, reference = read(GOOD.replace(old, new)), read(GOOD)
    found = compared_overlay(compare(traced, reference), traced, reference)
    ghosts = tuple(ghost.part.ref for ghost in found.ghosts)
    return found.marks, ghosts, found.joins


@pytest.mark.parametrize(
    ("old", "new", "target", "role", "text"),
    [
        ("R3 2k2", "R3 22k", OnPart("R3"), Role.DIFFERS, "2k2 there"),
        ("Q1 npn", "Q1 pnp", OnPart("Q1"), Role.DIFFERS, "NPN transistor there"),
        ("OUT -> P12", "P12 -> OUT", OnPart("D1"), Role.DIFFERS, "other way round"),
        ("C1 100n", "C2 1u B -- COM\nC1 100n", OnPart("C2"), Role.EXTRA, ""),
        ("D1 diode", "D1 absent", OnPart("D1"), Role.ABSENT, ""),
        ("C1 100n OUT", "C1 100n B", Pin("C1", "1"), Role.DIFFERS, ""),
        ("R3 2k2", "R3 ?", OnPart("R3"), Role.NOTE, "not known"),
    ],
)
def test_a_difference_is_marked_at_its_part(
    old: str, new: str, target: OnPart | Pin, role: Role, text: str
) -> None:
    marks, ghosts, joins = layer(old, new)
    assert [(one.target, one.role, one.text) for one in marks] == [(target, role, text)]
    assert ghosts == ()
    assert joins == ()


def test_a_part_without_a_place_is_a_ghost() -> None:
    assert layer("D1 diode OUT -> P12\n", "") == ((), ("D1",), ())


def test_a_bridge_that_the_file_tells_is_marked_and_not_drawn_twice() -> None:
    marks, _, joins = layer("J1 conn", "bridge B OUT\nJ1 conn")
    assert [(one.target, one.role) for one in marks] == [
        (OnPart("bridge 1"), Role.BRIDGED)
    ]
    assert joins == ()


def test_the_words_stand_under_the_picture() -> None:
    traced, reference = read(GOOD.replace("R3 2k2", "R3 22k")), read(GOOD)
    found = compared_overlay(compare(traced, reference), traced, reference)
    assert found.legend == ("R3 reads 22k here, 2k2 in the reference: ten times more.",)


def test_nothing_is_marked_where_the_sections_are_not_the_same() -> None:
    other = read("ground 0V\nrail V5 5V\nL1 10u V5 -- X\nF1 fuse 2A X -- Y\n")
    found = compared_overlay(compare(other, read(GOOD)), other, read(GOOD))
    assert (found.marks, found.ghosts, found.joins) == ((), (), ())
    assert found.legend[0].startswith("These are not the same section: similarity")
