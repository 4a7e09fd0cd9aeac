"""The colours: legible on their ground, and apart for every eye."""

from itertools import combinations
from math import dist

import pytest

from tracegraph.draw.shapes import Tone
from tracegraph.views.palette import DARK, LIGHT, Palette, palette

ROLES = [tone for tone in Tone if tone not in {Tone.PAPER, Tone.FAINT}]
# What an eye without one kind of cone sees, on linear red, green and blue: Machado,
# Oliveira, Fernandes, "A Physiologically-based Model for Simulation of Color Vision
# Deficiency", IEEE TVCG 15 (2009), table for severity 1.0; from memory.
EYES = {
    "all cones": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "no red": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "no green": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "no blue": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
# Linear sRGB to CIE XYZ, and its white (IEC 61966-2-1).
XYZ = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
WHITE = (0.9505, 1.0, 1.089)
Triple = tuple[float, ...]


def linear(colour: str) -> Triple:
    """Return linear red, green, blue (IEC 61966-2-1)."""
    parts = [one / 255 for one in bytes.fromhex(colour[1:])]
    return tuple(
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts
    )


def times(matrix: tuple[Triple, ...], vector: Triple) -> Triple:
    return tuple(sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix)


def luminance(colour: str) -> float:
    return times(XYZ, linear(colour))[1]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of WCAG 2.2."""
    dark, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dark + 0.05)


def lab(colour: str, eye: tuple[Triple, ...]) -> Triple:
    """Return CIE L*a*b* of what an eye sees."""
    seen = tuple(min(max(c, 0.0), 1.0) for c in times(eye, linear(colour)))
    x, y, z = (
        t ** (1 / 3) if t > 0.008856 else 7.787 * t + 16 / 116
        for t in (a / w for a, w in zip(times(XYZ, seen), WHITE, strict=True))
    )
    return (116 * y - 16, 500 * (x - y), 200 * (y - z))


def test_contrast_is_reckoned_as_the_standard_does() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21, abs=0.01)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
def test_every_tone_has_a_legible_colour(look: Palette) -> None:
    assert set(look.colours) == set(Tone)
    faint = {
        tone: contrast(colour, look.paper)
        for tone, colour in look.colours.items()
        if tone is not Tone.PAPER and contrast(colour, look.paper) < 4.5
    }
    assert faint == {}


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
def test_ink_and_marks_show_on_every_tint(look: Palette) -> None:
    for tone in ROLES:
        assert contrast(look.colours[Tone.INK], look.tint(tone)) >= 4.5
        assert contrast(look.colours[Tone.FAINT], look.tint(tone)) >= 4.5
        assert contrast(look.colours[tone], look.tint(tone)) >= 3  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
def test_any_two_marks_can_be_told_apart(look: Palette, eye: str) -> None:
    # About 2 is the least difference that is seen side by side; 15 is another colour.
    near = {
        (one, other): round(apart, 1)
        for one, other in combinations(ROLES, 2)
        if (apart := dist(*(lab(look.colours[t], EYES[eye]) for t in (one, other))))
        < 15
    }
    assert near == {}


def test_a_tint_lies_between_its_colour_and_the_ground() -> None:
    assert LIGHT.tint(Tone.PAPER) == "#ffffff"
    for look in (LIGHT, DARK):
        assert 1.03 < contrast(look.tint(Tone.SUSPECT), look.paper) < 1.6


def test_the_ground_is_chosen_by_name() -> None:
    assert (palette(dark=False), palette(dark=True)) == (LIGHT, DARK)
