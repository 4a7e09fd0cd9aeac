"""What a drawing is made of: strokes, circles, arcs and texts, and how they turn.

Lengths are in grid units, y growing downwards; writers make ten pixels of a unit.
"""

from collections.abc import Iterable
from enum import IntEnum, StrEnum
from typing import NamedTuple

Point = tuple[float, float]
Grid = tuple[int, int]


class Side(IntEnum):
    """The way that a wire leaves a pin; a quarter turn clockwise adds one."""

    RIGHT = 0
    DOWN = 1
    LEFT = 2
    UP = 3

    @property
    def step(self) -> Grid:
        """One grid unit that way."""
        return _STEPS[self]

    @property
    def opposite(self) -> "Side":
        """The other way."""
        return Side((self + 2) % 4)


_STEPS: dict[int, Grid] = {0: (1, 0), 1: (0, 1), 2: (-1, 0), 3: (0, -1)}


class Tone(StrEnum):
    """What a shape is drawn in; the writer has a colour for it on light and on dark."""

    INK = "ink"
    FAINT = "faint"  # values, net names, frames
    PAPER = "paper"  # the ground itself
    ABSENT = "absent"
    EXTRA = "extra"
    DIFFERS = "differs"
    BRIDGED = "bridged"
    BROKEN = "broken"
    SUSPECT = "suspect"
    LEVEL = "level"
    READING = "reading"
    NOTE = "note"


class Fill(StrEnum):
    """What stands inside a closed outline."""

    NONE = "none"
    INK = "ink"
    PAPER = "paper"


class Anchor(StrEnum):
    """Which end of a text its place tells."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Stroke(NamedTuple):
    """A line through points, or an outline."""

    points: tuple[Point, ...]
    width: float = 0.15
    closed: bool = False
    fill: Fill = Fill.NONE
    tone: Tone = Tone.INK
    dashed: bool = False


class Circle(NamedTuple):
    """A circle."""

    centre: Point
    radius: float
    width: float = 0.15
    fill: Fill = Fill.NONE
    tone: Tone = Tone.INK
    dashed: bool = False


class Arc(NamedTuple):
    """Part of a circle, less than half of it or just half."""

    start: Point
    end: Point
    radius: float
    clockwise: bool = True
    width: float = 0.15
    tone: Tone = Tone.INK
    dashed: bool = False


class Text(NamedTuple):
    """A line of text, never turned.

    Attributes:
        at: Where it is tied, on its own middle height.
        text: What is shown.
        size: Height of its letters' em.
        bold: Whether it is bold.
        anchor: Which end of it is at `at`.
        tone: What it is written in.
        full: The whole of it where `text` is cut short, else empty.
    """

    at: Point
    text: str
    size: float = 1.1
    bold: bool = False
    anchor: Anchor = Anchor.START
    tone: Tone = Tone.INK
    full: str = ""


Shape = Stroke | Circle | Arc | Text


class Box(NamedTuple):
    """An upright rectangle."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> "Box":
        """Return the box with a margin around it."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def moved(self, by: Point) -> "Box":
        """Return the box moved."""
        dx, dy = by
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)

    def meets(self, other: "Box") -> bool:
        """Return whether the two share any area."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    @property
    def centre(self) -> Point:
        """The middle of it."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2


def around(boxes: Iterable[Box]) -> Box:
    """Return the least box that holds all of them.

    Raises:
        ValueError: There is no box.
    """
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


class Pose(NamedTuple):
    """How a symbol stands: first mirrored left to right, then turned clockwise.

    Attributes:
        turns: Quarter turns clockwise.
        mirrored: Whether left and right change places before it is turned.
    """

    turns: int = 0
    mirrored: bool = False

    def point(self, at: Point) -> Point:
        """Return where a point of the base pose comes to lie.

        >>> Pose(1).point((4, 0)), Pose(0, mirrored=True).point((4, 1))
        ((0, 4), (-4, 1))
        """
        x, y = at
        x = -x if self.mirrored else x
        for _ in range(self.turns % 4):
            x, y = -y, x
        return x, y

    def side(self, side: Side) -> Side:
        """Return where a side of the base pose comes to face."""
        flips = self.mirrored and side in {Side.LEFT, Side.RIGHT}
        return Side(((side.opposite if flips else side) + self.turns) % 4)

    def box(self, box: Box) -> Box:
        """Return what a box of the base pose becomes."""
        (x, y), (u, v) = self.point(box[:2]), self.point(box[2:])
        return Box(min(x, u), min(y, v), max(x, u), max(y, v))


def posed(shape: Shape, pose: Pose, by: Point = (0, 0)) -> Shape:
    """Return a shape as it stands in a pose, moved; texts stay upright."""

    def put(at: Point) -> Point:
        x, y = pose.point(at)
        return x + by[0], y + by[1]

    match shape:
        case Stroke():
            return shape._replace(points=tuple(put(one) for one in shape.points))
        case Circle():
            return shape._replace(centre=put(shape.centre))
        case Arc():
            clockwise = shape.clockwise is not pose.mirrored
            return shape._replace(
                start=put(shape.start), end=put(shape.end), clockwise=clockwise
            )
        case Text():
            return shape._replace(at=put(shape.at), anchor=_anchor(shape.anchor, pose))


def _anchor(anchor: Anchor, pose: Pose) -> Anchor:
    """Return which end a text is tied by, so that it stays on its own side."""
    if pose.side(Side.RIGHT) is Side.LEFT and anchor is not Anchor.MIDDLE:
        return Anchor.END if anchor is Anchor.START else Anchor.START
    return anchor
