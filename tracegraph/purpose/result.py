"""What a part is for, and what was found without it: plain records."""

from enum import IntEnum, StrEnum
from typing import NamedTuple


class Deed(StrEnum):
    """What was done to the part."""

    WITHOUT = "without"
    SHORTED = "shorted"


class Rank(IntEnum):
    """How much a finding matters, the worst first."""

    SUPPLY = 0  # a rail is shorted
    ACTS = 1  # a power device, relay or light does what it should not
    FLOATS = 2  # nothing holds a control net
    OVER = 3  # more current than it was made for
    EDGE = 4  # it switches at another speed
    DEVICE = 5  # a small transistor does what it should not
    LEVEL = 6  # a net stands elsewhere
    HELD = 7  # a net is still held, by something else
    READING = 8  # a meter shows it, cold


class Finding(NamedTuple):
    """One thing that changes.

    Attributes:
        rank: How much it matters.
        deed: What was done to the part.
        scenes: Where it shows: `in run`, `with the controller unplugged`.
        subject: The net or device it shows at.
        was: With the part, in `unit`; None where there is no number.
        now: Without it, or with it shorted.
        unit: `V`, `A`, `s`, `ohm`, or empty.
        words: What is said of it, a clause without the scene.
    """

    rank: Rank
    deed: Deed
    scenes: tuple[str, ...]
    subject: str
    was: float | None
    now: float | None
    unit: str
    words: str


class Purpose(NamedTuple):
    """What a part is for.

    Attributes:
        ref: Its designator.
        title: The trade's name of its kind.
        value: Its value as read, or empty.
        nets: What it stands between.
        role: What it is there for, in the trade's words; empty where its place tells
            nothing known.
        lost: What the section loses without it by common practice; empty likewise.
        findings: What changes without it and with it shorted, what matters most first.
        untold: Why nothing was worked out, or empty.
        absent: Whether it is not on the board.
        without: What that means for a board without it, in a sentence or two.
        shorted: What it means for a board where it is shorted, or empty.
    """

    ref: str
    title: str
    value: str
    nets: tuple[str, ...]
    role: str
    lost: str
    findings: tuple[Finding, ...] = ()
    untold: str = ""
    absent: bool = False
    without: str = ""
    shorted: str = ""


class Purposes(NamedTuple):
    """What the parts of a section are for.

    Attributes:
        parts: One a part, in the file's order.
        scenes: In which states it was worked out.
        taken: What was assumed.
        untold: Why levels could not be worked out in some or all, or empty.
    """

    parts: tuple[Purpose, ...]
    scenes: tuple[str, ...]
    taken: tuple[str, ...] = ()
    untold: tuple[str, ...] = ()
