"""What a known mistake is: one entry of the tables beside this file."""

from typing import NamedTuple


class Mistake(NamedTuple):
    """A known mistake.

    Attributes:
        code: Stable short name.
        message: What is wrong; `{found}` stands for the word that does not fit.
        hint: What was probably meant.
        lines: Lines that make this mistake.
    """

    code: str
    message: str
    hint: str
    lines: tuple[str, ...]
