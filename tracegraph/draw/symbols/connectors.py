"""The symbol of a connector: its pins in one row, as they stand on the board."""

from math import ceil

from tracegraph.draw.shapes import Anchor, Box, Shape, Side, Text
from tracegraph.draw.symbol import Leg, Symbol
from tracegraph.draw.symbols.ink import lead, oblong
from tracegraph.draw.text import cut, width
from tracegraph.stage.part import Part

_PITCH = 2
_NAME = 1.0
_LONGEST = 10.0
_SOCKET = 0.8


def connector(part: Part) -> Symbol:
    """Return a frame with a contact for every pin (IEC 60617, section 03, from memory).

    The pins leave to the right, in the order of the file; designator goes above.
    """
    pins = tuple(part.pins)
    names = {pin: cut(pin, _LONGEST, _NAME) for pin in pins}
    widest = max((width(name, _NAME) for name in names.values()), default=0.0)
    wide = max(ceil(widest + _SOCKET + 1.2), 4)
    frame = Box(0, 0, wide, max(_PITCH * len(pins), _PITCH))
    shapes: list[Shape] = [oblong(frame)]
    legs = []
    for row, pin in enumerate(pins):
        legs.append(Leg(pin, (wide + 1, 1 + _PITCH * row), Side.RIGHT))
        shapes += _contact(wide, 1 + _PITCH * row, names[pin], pin)
    return Symbol(tuple(shapes), tuple(legs), frame.grown(0.1))


def _contact(edge: int, y: int, name: str, whole: str) -> list[Shape]:
    """Return a socket at the frame's edge with its lead and name."""
    right = edge - 0.3
    middle = (edge - 0.4 - _SOCKET) / 2
    full = "" if name == whole else whole
    return [
        oblong(Box(right - _SOCKET, y - 0.3, right, y + 0.3)),
        lead((right, y), (edge + 1, y)),
        Text((middle, y), name, _NAME, anchor=Anchor.MIDDLE, full=full),
    ]
