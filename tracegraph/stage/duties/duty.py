"""What a part is there for."""

from typing import NamedTuple


class Duty(NamedTuple):
    """A part's duty, in the trade's words; all of it is common practice, no source.

    Attributes:
        name: What the part is: `gate pull-down`.
        lost: What the section loses without it.
        more: What a value too great does; empty where nothing is known.
        less: What a value too small does.
    """

    name: str
    lost: str
    more: str = ""
    less: str = ""
