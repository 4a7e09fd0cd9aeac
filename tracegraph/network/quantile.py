"""Quantiles of a sum of independent, evenly spread contributions.

Neither the sum of the limits nor a Gaussian: one dominating part makes a flat
distribution, many small ones a bell. The strongest contributions enter by their
characteristic function, the rest by four moments (its cumulants); a Fourier series
turns the product into the distribution (textbook method of characteristic functions).
"""

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.circuit import Floats

STRONGEST = 12  # contributions taken exactly
REACH = 6.0  # standard deviations either side that the series spans
HARMONICS = 256
GRID = 2048
ROWS = 256  # readings at a time: 2 megabytes a table of the series


def quantile(slopes: Floats, share: float = 0.997) -> tuple[Floats, Floats]:
    """Return how far a share of all boards lies below and above the typical reading.

    Args:
        slopes: Change of each reading by each variable, which is evenly spread from
            -1 to 1: one table (readings, variables), or two, (2, readings,
            variables): below 0 and above 0.
        share: Share of boards between both quantiles.

    Returns:
        Both quantiles, one of each a reading; the lower one first.
    """
    tables = np.broadcast_to(slopes, (2, *slopes.shape[-2:]))
    down, up = -tables[0], tables[1]
    found = np.zeros((2, down.shape[0]))
    for first in range(0, down.shape[0], ROWS):
        rows = slice(first, first + ROWS)
        if down.shape[1]:
            found[:, rows] = _quantiles(down[rows], up[rows], (1 - share) / 2)
    return found[0], found[1]


def _quantiles(down: Floats, up: Floats, tail: float) -> Floats:
    """Return both quantiles; contributions reach from 0 to `down` or to `up`."""
    cumulants = _cumulants(down, up)
    mean, spread = cumulants[0].sum(axis=1), np.sqrt(cumulants[1].sum(axis=1))
    unit = np.where(spread > 0, spread, 1.0)[:, None]
    order = np.argsort(-(np.abs(down) + np.abs(up)), axis=1)
    first, rest = order[:, :STRONGEST], order[:, STRONGEST:]
    strong = [np.take_along_axis(table, first, axis=1) / unit for table in (down, up)]
    weak = [
        np.take_along_axis(one, rest, axis=1).sum(axis=1) / unit[:, 0] ** power
        for power, one in enumerate(cumulants, 1)
    ]
    chances = _chances(strong, weak, mean / unit[:, 0])
    steps = np.linspace(-REACH, REACH, GRID, endpoint=False)
    found = np.array(
        [
            [np.interp(goal, row, steps) for goal in (tail, 1 - tail)]
            for row in np.maximum.accumulate(chances, axis=1)
        ]
    ).T
    least = np.minimum(np.minimum(down, up), 0.0).sum(axis=1)
    most = np.maximum(np.maximum(down, up), 0.0).sum(axis=1)
    return np.asarray(np.clip(mean + spread * found, least, most))


def _cumulants(down: Floats, up: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the first four cumulants of every contribution.

    Half the boards lie evenly between 0 and `down`, half between 0 and `up`.
    """
    first, second, third, fourth = (
        (down**power + up**power) / (2 * (power + 1)) for power in (1, 2, 3, 4)
    )
    variance = second - first**2
    skew = third - 3 * first * second + 2 * first**3
    central = fourth - 4 * first * third + 6 * first**2 * second - 3 * first**4
    return first, variance, skew, central - 3 * variance**2


def _chances(strong: list[Floats], weak: list[Floats], mean: Floats) -> Floats:
    """Return the distribution about the mean on the grid, in standard deviations."""
    waves = np.pi / REACH * np.arange(1, HARMONICS + 1)
    first, second, third, fourth = (one[:, None] for one in weak)
    bell = np.exp(-second * waves**2 / 2 + np.minimum(fourth, 0.0) * waves**4 / 24)
    turn = (first - mean[:, None]) * waves - third * waves**3 / 6
    series = bell * np.exp(1j * turn)
    for down, up in zip(strong[0].T, strong[1].T, strict=True):
        series = series * (_even(down, waves) + _even(up, waves)) / 2
    coefficients = np.zeros((len(mean), GRID // 2 + 1), complex)
    # the integral of the density's series; conjugate: x falls in its exponent
    sign = (-1.0) ** np.arange(1, HARMONICS + 1)
    coefficients[:, 1 : HARMONICS + 1] = np.conj(series) * sign / (1j * waves)
    ripple = np.fft.irfft(coefficients, GRID, axis=1) * GRID / (2 * REACH)
    straight = np.arange(GRID) / GRID
    return np.asarray(ripple - ripple[:, :1] + straight)


def _even(reach: Floats, waves: NDArray[np.floating]) -> NDArray[np.complexfloating]:
    """Return the characteristic function of an even spread from 0 to `reach`."""
    half = reach[:, None] * waves / 2
    return np.asarray(np.exp(1j * half) * np.sinc(half / np.pi))
