"""What is laid over a picture: marks, parts that are missing, nets found joined.

Analysers don't know of it and the drawing doesn't know of them: `views` makes an
overlay of an analyser's result, `draw` places it, a writer writes it.
"""

from enum import StrEnum
from typing import NamedTuple

from tracegraph.stage.part import Part, Pin


class Role(StrEnum):
    """What a mark says of its target; each has a colour, a letter and a line style."""

    ABSENT = "absent"
    EXTRA = "extra"
    DIFFERS = "differs"
    BRIDGED = "bridged"
    BROKEN = "broken"
    SUSPECT = "suspect"
    LEVEL = "level"
    READING = "reading"
    NOTE = "note"


class OnPart(NamedTuple):
    """A part."""

    ref: str


class OnNet(NamedTuple):
    """A net."""

    net: str


class Between(NamedTuple):
    """The wire between two pins of one net."""

    a: Pin
    b: Pin


Target = OnPart | Pin | OnNet | Between


class Mark(NamedTuple):
    """Something said of a part, pin, net or wire.

    Attributes:
        target: Of what it is said.
        role: What kind of thing it is.
        text: A few letters beside the target; may be empty.
        rank: 1 for the first suspect and so on; 0 where there is no order.
        more: The long text, shown when pointed at.
    """

    target: Target
    role: Role
    text: str = ""
    rank: int = 0
    more: str = ""


class Ghost(NamedTuple):
    """A part that the reference has and the section hasn't; its pins name our nets."""

    part: Part
    text: str = ""
    more: str = ""


class Join(NamedTuple):
    """Two nets found joined, or that may be; `rank` as in a mark."""

    a: str
    b: str
    role: Role = Role.BRIDGED
    text: str = ""
    more: str = ""
    rank: int = 0


class Overlay(NamedTuple):
    """One layer over the picture; several combine.

    Attributes:
        title: What it shows: `expected, to ground`.
        marks: What is said of parts, pins, nets and wires.
        ghosts: Parts that are missing.
        joins: Nets found joined.
        legend: Lines that stand under the picture.
    """

    title: str
    marks: tuple[Mark, ...] = ()
    ghosts: tuple[Ghost, ...] = ()
    joins: tuple[Join, ...] = ()
    legend: tuple[str, ...] = ()
