"""Usual values: the E3 to E192 series of IEC 60063 (series from memory)."""

from functools import cache
from math import floor, isfinite, log10

_E24 = (
    *(10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30),
    *(33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91),
)
_FINE = ("E48", "E96", "E192")
SERIES = ("E3", "E6", "E12", "E24", *_FINE)


@cache
def steps(series: str) -> tuple[float, ...]:
    """Return the values of one decade, from 1 to just below 10.

    The coarse series are every second, fourth or eighth value of E24. The fine ones
    are the rounded powers 10^(i/n), save that IEC 60063 has 9.20 in E192 where
    rounding gives 9.19.

    Raises:
        ValueError: `series` is none of `SERIES`.

    >>> steps("E6")
    (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)
    """
    if series not in SERIES:
        raise ValueError(f"{series} is no series of IEC 60063")
    count = int(series[1:])
    if series not in _FINE:
        return tuple(step / 10 for step in _E24[:: 24 // count])
    powers = (round(100 * 10 ** (i / count)) for i in range(count))
    return tuple((920 if power == 919 else power) / 100 for power in powers)


def nearest_usual(value: float, series: str = "E24") -> float:
    """Return the value of the series that lies nearest; of two, the smaller.

    Raises:
        ValueError: `value` is not positive and finite.

    >>> nearest_usual(4800)
    4700.0
    """
    if not (isfinite(value) and value > 0):
        raise ValueError(f"{value} has no nearest usual value")
    decade = floor(log10(value))
    around = [float(f"{s}e{d}") for d in (decade - 1, decade) for s in steps(series)]
    around.append(float(f"1e{decade + 1}"))
    return min(around, key=lambda usual: abs(usual - value))


def is_usual(value: float, series: str = "E24") -> bool:
    """Return whether a value belongs to the series, whatever its decade.

    >>> is_usual(4700), is_usual(4750), is_usual(4750, "E96")
    (True, False, True)
    """
    if not (isfinite(value) and value > 0):
        return False
    return abs(nearest_usual(value, series) / value - 1) < 1e-6
