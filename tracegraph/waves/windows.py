"""Which parts of a wave are worth a closer look: one rise and one fall."""

from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.waves.inputs import EDGE
from tracegraph.waves.result import Trace, Wave

BEFORE, AFTER = 1.5, 3.0  # times the slowest edge, around its middle
LONGEST = 0.4  # of a period, each side
SHORTEST = 2e-4  # of a period
EDGES = 3.0  # times the input's own edge


class Window(NamedTuple):
    """A stretch of time, in seconds since the trace begins."""

    begin: float
    end: float


def rise_window(wave: Wave) -> Window | None:
    """Return the stretch around the first rise, None where nothing rises."""
    return _window(wave, up=True)


def fall_window(wave: Wave) -> Window | None:
    """Return the stretch around the first fall, None where nothing falls."""
    return _window(wave, up=False)


def _window(wave: Wave, *, up: bool) -> Window | None:
    traces = [one for one in (wave.asked, wave.healthy) if one and one.switches_here]
    middles = [one for trace in traces for one in _middles(trace, up=up)]
    if not middles:
        return None
    edges = [one.measures.rise if up else one.measures.fall for one in traces]
    slowest = max((one for one in edges if one), default=0.0)
    slowest = max(slowest, SHORTEST * wave.period, EDGES * EDGE)
    side = LONGEST * wave.period
    first, last = min(middles), max(middles)
    if last - first > side:
        last = first
    return Window(
        max(first - min(BEFORE * slowest, side), 0.0),
        min(last + min(AFTER * slowest, side), float(wave.asked.times[-1])),
    )


def _middles(trace: Trace, *, up: bool) -> list[float]:
    """Return the first time at which a trace passes half way up or down."""
    half = (trace.measures.top + trace.measures.base) / 2
    over = trace.volts >= half
    turned = ~over[:-1] & over[1:] if up else over[:-1] & ~over[1:]
    rows = np.flatnonzero(turned)[:1]
    return [float(trace.times[k]) for k in rows]


def column_spans(
    trace: Trace, begin: float, end: float, columns: int
) -> tuple[Floats, Floats]:
    """Return the least and greatest volts in each of some equal parts of a stretch."""
    edges = np.linspace(begin, end, columns + 1)
    at = np.interp(edges, trace.times, trace.volts)
    low, high = np.minimum(at[:-1], at[1:]), np.maximum(at[:-1], at[1:])
    rows = np.flatnonzero((trace.times > begin) & (trace.times < end))
    places = np.clip(
        ((trace.times[rows] - begin) / (end - begin) * columns).astype(int),
        0,
        columns - 1,
    )
    np.minimum.at(low, places, trace.volts[rows])
    np.maximum.at(high, places, trace.volts[rows])
    return low, high
