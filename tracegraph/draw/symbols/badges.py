"""What marks are drawn with: a badge with its letter, a halo, a cross.

Every role differs in shape, letter and tone, so that it is told without colour.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import cos, pi, sin
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.draw.overlay import Role
from tracegraph.draw.shapes import (
    Anchor,
    Box,
    Circle,
    Fill,
    Point,
    Shape,
    Stroke,
    Text,
    Tone,
)

HALF = 0.8
"""Half of a badge's width and height."""

_THIN, _THICK = 0.12, 0.2


class Style(NamedTuple):
    """How a role is drawn.

    Attributes:
        letter: What stands in its badge.
        corners: Corners of its badge around (0, 0), in half badges; none for a disc.
        filled: Whether the badge is full, its letter in paper.
        width: How wide the outline of its halo is.
        dashed: Whether that outline is dashed.
        cut: Whether the halo's corners are cut off rather than round.
    """

    letter: str
    corners: tuple[Point, ...] = ()
    filled: bool = True
    width: float = _THIN
    dashed: bool = False
    cut: bool = False


def _ring(count: int, turn: float) -> tuple[Point, ...]:
    """Return the corners of a regular figure, the first turned clockwise from above."""
    angles = (turn + 2 * pi * k / count for k in range(count))
    return tuple((round(sin(a), 3), round(-cos(a), 3)) for a in angles)


_SQUARE = ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9))
_DIAMOND = ((0.0, -1.15), (1.15, 0.0), (0.0, 1.15), (-1.15, 0.0))
_UP = ((0.0, -1.4), (1.35, 0.95), (-1.35, 0.95))
_HOUSE = ((0.0, -1.1), (0.9, -0.35), (0.9, 0.9), (-0.9, 0.9), (-0.9, -0.35))
_PAGE = ((-0.9, -1.0), (0.35, -1.0), (0.9, -0.45), (0.9, 1.0), (-0.9, 1.0))

STYLES: Mapping[Role, Style] = MappingProxyType(
    {
        Role.ABSENT: Style("A", _SQUARE, filled=False, dashed=True),
        Role.EXTRA: Style("+", _ring(6, 0.0), width=_THICK),
        Role.DIFFERS: Style("≠", _DIAMOND, filled=False, cut=True),
        Role.BRIDGED: Style("B", _ring(8, pi / 8), width=_THICK, cut=True),
        Role.BROKEN: Style("X", _UP, dashed=True, cut=True),
        Role.SUSPECT: Style("!", width=_THICK),
        Role.LEVEL: Style("V", _HOUSE, filled=False),
        Role.READING: Style("Ω", filled=False),
        Role.NOTE: Style("i", _PAGE, filled=False, dashed=True, cut=True),
    }
)
"""How every role is drawn; no two share letter and shape."""


def tone_of(role: Role) -> Tone:
    """Return the tone that a role is drawn in."""
    return Tone(role.value)


def badge(role: Role, at: Point, letter: str = "") -> tuple[Shape, ...]:
    """Return a role's badge, its letter or a suspect's rank in it.

    Args:
        role: What kind of mark it is.
        at: Its middle.
        letter: What stands in it instead of the role's own letter: a rank.
    """
    style, tone, (x, y) = STYLES[role], tone_of(role), at
    fill = Fill.INK if style.filled else Fill.PAPER
    told = Tone.PAPER if style.filled else tone
    return (
        _plate(style, at, fill, tone),
        Text(
            (x, y + _low(style)),
            letter or style.letter,
            0.8 if len(letter) > 1 else 1.05,
            bold=True,
            anchor=Anchor.MIDDLE,
            tone=told,
        ),
    )


def _plate(style: Style, at: Point, fill: Fill, tone: Tone) -> Shape:
    (x, y), corners = at, style.corners
    if not corners:
        return Circle(at, HALF, LINE, fill, tone)
    points = tuple((x + HALF * u, y + HALF * v) for u, v in corners)
    return Stroke(points, LINE, closed=True, fill=fill, tone=tone)


LINE = 0.16
"""Width of a badge's outline."""


def _low(style: Style) -> float:
    """Return how far the letter sits off the middle, in a badge with a point."""
    return {_UP: 0.24, _HOUSE: 0.1}.get(style.corners, 0.0)


def badge_box(at: Point) -> Box:
    """Return what a badge covers."""
    x, y = at
    return Box(x, y, x, y).grown(1.45 * HALF)


def halo(box: Box, role: Role) -> tuple[Shape, ...]:
    """Return what stands behind a part that is marked; writers make it pale.

    Args:
        box: What is marked.
        role: Tells the tone and the form of the corners.
    """
    points = _around(box, role)
    return (Stroke(points, 0.0, closed=True, fill=Fill.INK, tone=tone_of(role)),)


def rim(box: Box, role: Role) -> tuple[Shape, ...]:
    """Return the outline of a halo, to stand before the picture, in the role's style.

    Args:
        box: What is marked.
        role: Tells the tone, whether it is thick or dashed, and its corners.
    """
    style, points = STYLES[role], _around(box, role)
    return (
        Stroke(
            points, style.width, closed=True, tone=tone_of(role), dashed=style.dashed
        ),
    )


def _around(box: Box, role: Role) -> tuple[Point, ...]:
    corners = _cut_corners if STYLES[role].cut else _round_corners
    return corners(box.grown(_AWAY))


_AWAY, _CORNER = 0.35, 0.5


def _cut_corners(box: Box) -> tuple[Point, ...]:
    left, top, right, bottom = box
    c = _CORNER
    return (
        (left + c, top),
        (right - c, top),
        (right, top + c),
        (right, bottom - c),
        (right - c, bottom),
        (left + c, bottom),
        (left, bottom - c),
        (left, top + c),
    )


def _round_corners(box: Box, steps: int = 4) -> tuple[Point, ...]:
    left, top, right, bottom = box
    c = _CORNER
    middles = (
        (right - c, top + c),
        (right - c, bottom - c),
        (left + c, bottom - c),
        (left + c, top + c),
    )
    points: list[Point] = []
    for quarter, (x, y) in enumerate(middles):
        for k in range(steps + 1):
            angle = pi / 2 * (quarter + k / steps)
            points.append((round(x + c * sin(angle), 3), round(y - c * cos(angle), 3)))
    return tuple(points)


def trace(segments: Iterable[tuple[Point, Point]], role: Role) -> tuple[Shape, ...]:
    """Return what stands behind a wire that is marked; writers make it pale."""
    return tuple(
        Stroke(
            _corners(Box(*map(min, a, b), *map(max, a, b)).grown(0.35)),
            0.0,
            closed=True,
            fill=Fill.INK,
            tone=tone_of(role),
        )
        for a, b in segments
    )


def _corners(box: Box) -> tuple[Point, ...]:
    left, top, right, bottom = box
    return (left, top), (right, top), (right, bottom), (left, bottom)


def cross(at: Point, role: Role = Role.BROKEN) -> tuple[Shape, ...]:
    """Return a cross on a wire: here it is broken."""
    (x, y), r, tone = at, 0.55, tone_of(role)
    return (
        Stroke(((x - r, y - r), (x + r, y + r)), 0.25, tone=tone),
        Stroke(((x - r, y + r), (x + r, y - r)), 0.25, tone=tone),
    )


def strap(path: Sequence[Point], role: Role = Role.BRIDGED) -> tuple[Shape, ...]:
    """Return a thick line between two wires with a ring at each end: they are joined."""
    tone = tone_of(role)
    rings = (Circle(at, 0.35, 0.2, Fill.PAPER, tone) for at in (path[0], path[-1]))
    return (Stroke(tuple(path), 0.35, tone=tone), *rings)
