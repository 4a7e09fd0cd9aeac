"""Letters for every screen: plain ones where Ω and µ can't be shown, unbroken values."""

import re

NO_BREAK = "\u00a0"
_PLAIN = str.maketrans(
    {
        "Ω": "ohm",
        "\N{OHM SIGN}": "ohm",
        "µ": "u",
        "μ": "u",
        "°": "",
        "±": "+/-",
        "×": "x",
        "–": "-",
        "…": "...",
        NO_BREAK: " ",
    }
)
# What must not be torn apart at a line's end: quoted notation, a number and its unit.
_TOGETHER = re.compile(r"`[^`]*`|\d (?:[kMGmunpµΩ]?(?:ohm|Ω|V|A|F|H|Hz|s|W|k|M|G)\b|%)")


def plain_letters(text: str) -> str:
    """Return the text in letters that every terminal can show.

    >>> plain_letters("47 Ω, 4.7 µF ±5 %")
    '47 ohm, 4.7 uF +/-5 %'
    """
    return text.translate(_PLAIN)


def unbroken(text: str) -> str:
    """Return the text with spaces that no line break may take, where it matters."""
    return _TOGETHER.sub(lambda found: found.group().replace(" ", NO_BREAK), text)


def spaced(text: str) -> str:
    """Return the text with ordinary spaces again."""
    return text.replace(NO_BREAK, " ")
