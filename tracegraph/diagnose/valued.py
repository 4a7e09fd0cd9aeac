"""Which value is the likeliest of those that were weighed, and between which it lies."""

from math import inf

import numpy as np

from tracegraph.network.circuit import Floats

MIDDLE = 0.95


def likeliest(ohms: Floats, chance: Floats, shows: Floats, every: Floats) -> int:
    """Return the likeliest value: where it lies in a range, by its density there.

    A value that stands for a wider stretch of a range has more weight, but is no
    likelier than its neighbours for that.
    """
    if not np.isfinite(shows).any():
        return int(every.argmax())
    place = int(shows.argmax())
    ranged = (ohms > 0) & np.isfinite(ohms)
    if not ranged[place]:
        return place
    return int(np.where(ranged & np.isfinite(shows), chance, -inf).argmax())


def middle(ohms: Floats, weights: Floats) -> tuple[float, float]:
    """Return between which values the middle 95 % lies.

    A value stands for the stretch up to the middles towards its neighbours.
    """
    known = np.isfinite(ohms) & np.isfinite(weights)
    if not known.any():
        return float("nan"), float("nan")
    chosen = np.flatnonzero(known)
    part = np.exp(weights[chosen] - weights[chosen].max())
    run = np.cumsum(part) / part.sum()
    first = int(np.searchsorted(run, (1 - MIDDLE) / 2))
    last = min(int(np.searchsorted(run, (1 + MIDDLE) / 2)), len(chosen) - 1)
    ends = []
    for place, beside in ((chosen[first], -1), (chosen[last], 1)):
        there = min(max(place + beside, 0), len(ohms) - 1)
        near = ohms[there] if 0 < ohms[there] < inf else ohms[place]
        ends.append(float(np.sqrt(ohms[place] * near)))
    return ends[0], ends[1]
