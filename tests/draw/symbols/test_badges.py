"""Badges, halos and straps: told by shape and letter, not by colour alone."""

from itertools import combinations

import pytest

from tests.draw.extent import shape_box
from tracegraph.draw.overlay import Role
from tracegraph.draw.shapes import Box, Circle, Fill, Shape, Stroke, Text, Tone
from tracegraph.draw.symbols.badges import (
    STYLES,
    badge,
    badge_box,
    cross,
    halo,
    rim,
    strap,
    tone_of,
    trace,
)

ROLES = pytest.mark.parametrize("role", Role)


def colourless(shapes: tuple[Shape, ...]) -> tuple[Shape, ...]:
    return tuple(shape._replace(tone=Tone.INK) for shape in shapes)


def holds(outer: Box, inner: Box) -> bool:
    return (
        outer.left <= inner.left
        and outer.top <= inner.top
        and inner.right <= outer.right
        and inner.bottom <= outer.bottom
    )


def test_every_role_has_its_style() -> None:
    assert STYLES.keys() == set(Role)


def test_roles_differ_in_letter_in_form_and_in_tone() -> None:
    letters = [style.letter for style in STYLES.values()]
    forms = [(style.corners, style.filled) for style in STYLES.values()]
    assert len(set(letters)) == len(Role)
    assert len(set(forms)) == len(Role)
    assert len({tone_of(role) for role in Role}) == len(Role)


def test_two_badges_differ_without_colour_even_with_one_number() -> None:
    pictures = [colourless(badge(role, (0, 0), "1")) for role in Role]
    assert all(one != two for one, two in combinations(pictures, 2))


@ROLES
def test_a_badge_holds_its_letter(role: Role) -> None:
    for letter in ("", "7", "12"):
        plate, text = badge(role, (3, 4), letter)
        assert isinstance(text, Text)
        assert text.text == (letter or STYLES[role].letter)
        assert holds(shape_box(plate).grown(0.05), shape_box(text))
        assert holds(badge_box((3, 4)), shape_box(plate))


@ROLES
def test_a_letter_stands_out_from_its_badge(role: Role) -> None:
    plate, text = badge(role, (0, 0))
    assert isinstance(plate, Circle | Stroke)
    assert (plate.fill is Fill.INK) is (text.tone is Tone.PAPER)
    assert plate.fill in {Fill.INK, Fill.PAPER}


@ROLES
def test_a_halo_goes_around_what_is_marked(role: Role) -> None:
    box = Box(2, 3, 6, 5)
    for shape in (*halo(box, role), *rim(box, role)):
        assert holds(shape_box(shape), box)
        assert shape.tone is tone_of(role)


@ROLES
def test_a_band_covers_the_wire_whatever_its_way(role: Role) -> None:
    bands = trace([((4, 0), (0, 0)), ((0, 0), (0, 3))], role)
    assert [shape_box(band) for band in bands] == [
        Box(-0.35, -0.35, 4.35, 0.35),
        Box(-0.35, -0.35, 0.35, 3.35),
    ]


def test_a_break_is_crossed_and_a_bridge_is_strapped() -> None:
    assert {shape.tone for shape in cross((1, 1))} == {Tone.BROKEN}
    assert {shape.tone for shape in strap(((0, 0), (3, 0)))} == {Tone.BRIDGED}
    assert shape_box(strap(((0, 0), (3, 0)))[0]) == Box(0, 0, 3, 0)
