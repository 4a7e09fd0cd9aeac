"""The finished picture as frozen geometry: what a writer writes, and nothing more.

All coordinates are in grid units on the sheet, whose upper left corner is (0, 0).
"""

from enum import StrEnum
from typing import NamedTuple

from tracegraph.draw.overlay import Role, Target
from tracegraph.draw.shapes import Box, Point, Shape, Text
from tracegraph.draw.symbol import Leg


class Drawn(NamedTuple):
    """A part on the sheet.

    Attributes:
        ref: Its designator.
        kind: The word of its kind.
        title: The trade's name of it with value and findings, shown when pointed at.
        nets: Net of each pin, by pin.
        legs: Its pins and where wires meet them.
        shapes: The symbol, in the tone and dashing of its state.
        texts: Designator, value, pin numbers and names.
        body: The symbol's box.
        status: `fitted`, `absent`, `removed`, `ghost`, `link` or `rest`.
        channel: The sister channel it belongs to, or empty.
    """

    ref: str
    kind: str
    title: str
    nets: tuple[tuple[str, str], ...]
    legs: tuple[Leg, ...]
    shapes: tuple[Shape, ...]
    texts: tuple[Text, ...]
    body: Box
    status: str = "fitted"
    channel: str = ""


class Wire(NamedTuple):
    """The copper of one net on the sheet.

    Attributes:
        net: Its name.
        segments: Straight pieces, each horizontal or vertical, none overlapping.
        dots: Where three or more arms meet.
        ghost: Whether it only leads to a part that is missing.
    """

    net: str
    segments: tuple[tuple[Point, Point], ...]
    dots: tuple[Point, ...]
    ghost: bool = False


class PortForm(StrEnum):
    """Why a net ends in a small symbol of its own."""

    RAIL = "rail"
    GROUND = "ground"
    INPUT = "input"  # a controller drives it
    SHEET = "sheet"  # goes on on another sheet
    NAME = "name"  # goes on where the same name stands on this sheet
    UNTRACED = "untraced"  # more may hang on it
    UNPLUGGED = "unplugged"


class Port(NamedTuple):
    """A small symbol at the end of a wire; equal nets are joined by their ports.

    Attributes:
        net: The net.
        form: Why it stands there.
        at: Where it meets the wire or the pin.
        shapes: What is drawn.
        texts: What is written.
        title: What it is, in words.
        box: What it covers.
        ghost: Whether it belongs to a part that is missing.
    """

    net: str
    form: PortForm
    at: Point
    shapes: tuple[Shape, ...]
    texts: tuple[Text, ...]
    title: str
    box: Box
    ghost: bool = False


class NetLabel(NamedTuple):
    """The name of a net beside its wire."""

    net: str
    text: Text
    box: Box


class Frame(NamedTuple):
    """The dashed frame around a sister channel."""

    name: str
    box: Box
    text: Text


class Noted(NamedTuple):
    """A mark of an overlay, placed.

    Attributes:
        role: What kind of thing it is.
        target: Of what it is said.
        under: Shapes that stand behind the picture: a tinted box, a halo on a wire.
        over: Shapes that stand before it: a badge with its letter, a cross, a bridge.
        texts: What is written beside it.
        title: The long text.
        layer: Number of the overlay it belongs to.
    """

    role: Role
    target: Target | None
    under: tuple[Shape, ...]
    over: tuple[Shape, ...]
    texts: tuple[Text, ...]
    title: str = ""
    layer: int = 0


class Sheet(NamedTuple):
    """One sheet of the picture.

    Attributes:
        number: Its number, from 1.
        title: The heading, placed.
        width: Its width in units.
        height: Its height in units.
        parts: Parts, links and rests on it, and ghosts.
        wires: One a net with copper here, and one a net with ghost copper.
        ports: Rails, grounds, inputs, ends.
        labels: Names of nets.
        frames: Sister channels.
        notes: Marks of overlays.
        legend: Lines under the picture, placed.
        told: What there is to see, where it is no section.
    """

    number: int
    title: Text
    width: float
    height: float
    parts: tuple[Drawn, ...]
    wires: tuple[Wire, ...]
    ports: tuple[Port, ...]
    labels: tuple[NetLabel, ...]
    frames: tuple[Frame, ...] = ()
    notes: tuple[Noted, ...] = ()
    legend: tuple[Text | Shape, ...] = ()
    told: str = ""


class Drawing(NamedTuple):
    """The picture of a section: one sheet, or several for a large one."""

    title: str
    sheets: tuple[Sheet, ...]
