"""Words that links and plans share."""

from math import ceil

from tracegraph.display import show


def span(low: float, high: float, unit: str) -> str:
    """Return two limits in words."""
    return f"{show(low, unit)} to {show(high, unit)}"


def duration(seconds: float) -> str:
    """Return a time as a person waits for it, never shorter than it is.

    >>> duration(0.212), duration(8.4), duration(227.4), duration(7300)
    ('0.22 s', '9 s', '3 min 48 s', '2 h 2 min')
    """
    if seconds <= 0:
        return "no time at all"
    if seconds < 1:
        return f"{ceil(seconds * 100) / 100:g} s"
    whole = ceil(seconds)
    if whole < 60:
        return f"{whole} s"
    minutes, rest = divmod(whole, 60)
    if minutes < 60:
        return f"{minutes} min {rest} s" if rest else f"{minutes} min"
    hours, rest = divmod(ceil(whole / 60), 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"
