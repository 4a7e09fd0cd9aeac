"""The colours of a drawing, on light and on dark ground.

The accents were sought by calculation: each stands at least 4.5 to 1 against its ground
(WCAG 2.2, 1.4.3), and any two can be told apart under the three common forms of colour
blindness. Colour is never alone: every role has a letter and a line style besides.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.draw.shapes import Tone

TINTED = 0.12  # how much of a colour is in the tint behind the picture


class Palette(NamedTuple):
    """The colours of one ground.

    Attributes:
        name: `light` or `dark`.
        colours: Of every tone, written `#rrggbb`.
    """

    name: str
    colours: Mapping[Tone, str]

    @property
    def paper(self) -> str:
        """The ground itself."""
        return self.colours[Tone.PAPER]

    def tint(self, tone: Tone) -> str:
        """Return the pale form of a colour, to stand behind the picture."""
        parts = zip(_parts(self.colours[tone]), _parts(self.paper), strict=True)
        mixed = (round(TINTED * a + (1 - TINTED) * b) for a, b in parts)
        return "#" + "".join(f"{one:02x}" for one in mixed)


def palette(*, dark: bool) -> Palette:
    """Return the colours for a light or a dark ground."""
    return DARK if dark else LIGHT


def _parts(colour: str) -> tuple[int, ...]:
    """Return red, green and blue of `#rrggbb`, 0 to 255."""
    return tuple(bytes.fromhex(colour[1:]))


LIGHT = Palette(
    "light",
    MappingProxyType(
        {
            Tone.INK: "#15181d",
            Tone.FAINT: "#585f69",
            Tone.PAPER: "#ffffff",
            Tone.ABSENT: "#646669",
            Tone.EXTRA: "#691ad7",
            Tone.DIFFERS: "#7e3703",
            Tone.BRIDGED: "#a33794",
            Tone.BROKEN: "#926f08",
            Tone.SUSPECT: "#c92b3e",
            Tone.LEVEL: "#2469cb",
            Tone.READING: "#178454",
            Tone.NOTE: "#16486a",
        }
    ),
)
DARK = Palette(
    "dark",
    MappingProxyType(
        {
            Tone.INK: "#e6e9ed",
            Tone.FAINT: "#a0a8b2",
            Tone.PAPER: "#14181d",
            Tone.ABSENT: "#b2b6bb",
            Tone.EXTRA: "#cf35f7",
            Tone.DIFFERS: "#c46d25",
            Tone.BRIDGED: "#f619be",
            Tone.BROKEN: "#f9b83b",
            Tone.SUSPECT: "#ea655e",
            Tone.LEVEL: "#5693d1",
            Tone.READING: "#26d18e",
            Tone.NOTE: "#99cdf0",
        }
    ),
)
