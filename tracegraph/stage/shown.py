"""What stood on a display, in words and as far as two displays can be compared."""

from tracegraph.display import show
from tracegraph.stage.reading import UNITS, Mode, Reading, Shown

_APART = 0.1  # of the greater; common practice, no source
_STEPS = 3  # of the last digit of the coarser display
_NO_VALUE = frozenset({Shown.CLIMBS, Shown.UNSTEADY})


def shown(reading: Reading) -> str:
    """Return what stood on a display.

    >>> (
    ...     shown(Reading("A", "B", Mode.OHMS, 9.8e3)),
    ...     shown(Reading("A", "B", Mode.BEEP, Shown.BEEP)),
    ... )
    ('9.8 k', 'beep')
    """
    if isinstance(reading.shown, Shown):
        return str(reading.shown)
    text = show(reading.shown, UNITS[reading.mode] or "ohm")
    return f"> {text}" if reading.at_least else text


def contradict(one: Reading, other: Reading) -> bool:
    """Return whether two readings of one pair in one mode can't both be of one board.

    What is still climbing contradicts nothing; a lower bound only what is below it.

    >>> open_ends = Reading("A", "B", Mode.OHMS, Shown.OPEN)
    >>> contradict(open_ends, Reading("A", "B", Mode.OHMS, 4.7e3))
    True
    """
    if one.shown in _NO_VALUE or other.shown in _NO_VALUE:
        return False
    if isinstance(one.shown, Shown) and isinstance(other.shown, Shown):
        return one.shown is not other.shown
    if isinstance(one.shown, Shown) or isinstance(other.shown, Shown):
        bound = one.at_least or other.at_least
        return one.mode is not Mode.BEEP and not bound
    if one.at_least or other.at_least:
        return _under(one, other) or _under(other, one)
    room = max(
        _APART * max(abs(one.shown), abs(other.shown)),
        _STEPS * max(one.resolution, other.resolution),
    )
    return abs(one.shown - other.shown) > room


def _under(bound: Reading, other: Reading) -> bool:
    """Return whether a reading lies clearly under what another only knows to exceed."""
    if not bound.at_least or other.at_least:
        return False
    number, least = other.shown, bound.shown
    if isinstance(number, Shown) or isinstance(least, Shown):
        return False
    return number < least * (1 - _APART)
