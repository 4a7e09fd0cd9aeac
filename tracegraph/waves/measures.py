"""What a scope's measure menu shows of a trace.

Terms and ways are those of IEEE Std 181 (transitions, pulses and related waveforms; from
memory): the two state levels are the modes of the upper and the lower half of the
histogram of volts, durations stand between the crossings of 10, 50 and 90 % of the way
from one level to the other.
"""

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.waves.result import Measures

EVEN = 8192  # samples at which a trace is looked at for its levels
BINS = 200
CLEAR = 0.05  # share of the samples that a level must hold, else the extreme counts
STILL_VOLTS, STILL_SHARE = 0.01, 2e-3  # a smaller swing is no wave


def measures(times: Floats, volts: Floats) -> Measures:
    """Return what a scope shows of a trace of two periods or more."""
    even = np.linspace(times[0], times[-1], EVEN)
    samples = np.interp(even, times, volts)
    high, low = float(volts.max()), float(volts.min())
    if high - low < max(STILL_VOLTS, STILL_SHARE * max(abs(high), abs(low))):
        level = float(samples.mean())
        return Measures(level, level, high, low)
    base, top = _levels(samples, low, high)
    found = Measures(
        top, base, high, low, overshoot=max(high - top, 0.0), spike=max(base - low, 0.0)
    )
    return _timed(found, times, volts)


def _levels(samples: Floats, low: float, high: float) -> tuple[float, float]:
    """Return base and top: where the trace stays longest, in each half."""
    half = (low + high) / 2
    return (
        _mode(samples[samples < half], low, low, half),
        _mode(samples[samples >= half], high, half, high),
    )


def _mode(samples: Floats, extreme: float, low: float, high: float) -> float:
    if not samples.size:
        return extreme
    counts, edges = np.histogram(samples, bins=BINS // 2, range=(low, high))
    most = int(counts.argmax())
    if counts[most] < CLEAR * EVEN:
        return extreme
    inside = (samples >= edges[most]) & (samples <= edges[most + 1])
    return float(samples[inside].mean())


def _timed(found: Measures, times: Floats, volts: Floats) -> Measures:
    """Add what is measured along the time."""
    up10, up50, up90 = (
        _crossings(times, volts, found.base + share * found.amplitude, up=True)
        for share in (0.1, 0.5, 0.9)
    )
    down10, down50, down90 = (
        _crossings(times, volts, found.base + share * found.amplitude, up=False)
        for share in (0.1, 0.5, 0.9)
    )
    if len(up50) < 2 or not len(down50):
        return found
    period = float((up50[-1] - up50[0]) / (len(up50) - 1))
    first = float(up50[0])
    later = down50[down50 > first]
    width = float(later[0] - first) if len(later) else None
    return found._replace(
        hertz=1 / period,
        width=width,
        duty=width / period if width is not None else None,
        rise=_edge(up10, up50, up90),
        fall=_edge(down90, down50, down10),
    )


def _edge(begin: Floats, middle: Floats, end: Floats) -> float | None:
    """Return the seconds from the last beginning before a middle to the first end.

    It is that of the first edge that is on the trace from one end to the other.
    """
    for time in middle.tolist():
        before, after = begin[begin <= time], end[end >= time]
        if len(before) and len(after):
            return float(after[0] - before[-1])
    return None


def _crossings(times: Floats, volts: Floats, level: float, *, up: bool) -> Floats:
    """Return the times at which a trace crosses a level in one direction."""
    over = volts >= level
    turned = ~over[:-1] & over[1:] if up else over[:-1] & ~over[1:]
    k = np.flatnonzero(turned)
    share = (level - volts[k]) / (volts[k + 1] - volts[k])
    return np.asarray(times[k] + share * (times[k + 1] - times[k]))
