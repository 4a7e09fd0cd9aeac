"""The laws of the ports for one section at one moment: those of `device`, in plain floats.

A wave asks for thousands of single evaluations, one after the other, where the batch
laws spend most of their time on arrays of three numbers. A property test holds the two
equal.
"""

from collections.abc import Callable, Sequence
from math import exp, log1p, tanh

from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.device import (
    BLOCKED,
    FAINT,
    LEAK_KNEE,
    LED_SLOPE,
    LN10,
    PASSES,
    PINCH,
    ROUND,
    STEEPEST,
)
from tracegraph.network.exponentials import EMITTER_SLOPE

Pair = tuple[float, float]
Places = tuple[int, int, int, int, int]
Law = Callable[[Sequence[float], list[float], list[float]], None]

MOST = 500.0  # exponent of a follower's share


class _Knee:
    """An exponential that passes `at` amperes at `drop` volts."""

    __slots__ = ("_at", "_drop", "_rate", "_start")

    def __init__(self, at: float, drop: float, slope: float) -> None:
        self._at, self._drop, self._rate = at, drop, LN10 / slope
        self._start = exp(-drop * self._rate)

    def at(self, volts: float) -> Pair:
        """Return current and slope."""
        over = (volts - self._drop) * self._rate
        if over <= STEEPEST:
            grown = exp(over)
            return self._at * (grown - self._start), self._at * self._rate * grown
        grown = exp(STEEPEST)
        straight = grown * (1 + over - STEEPEST) - self._start
        return self._at * straight, self._at * self._rate * grown


def _leak(full: float, volts: float) -> Pair:
    bent = tanh(volts / LEAK_KNEE)
    slope = full * (1 - bent * bent) / LEAK_KNEE + BLOCKED
    return full * bent + BLOCKED * volts, slope


class _Back:
    """A breakdown, `at` amperes at minus `volts`."""

    __slots__ = ("_first", "_knee")

    def __init__(self, at: float, volts: float, slope: float) -> None:
        self._knee = _Knee(at, volts, slope)
        self._first = FAINT * slope / LN10 - volts

    def at(self, volts: float) -> Pair:
        """Return current and slope, where there is any current."""
        if volts >= self._first:
            return 0.0, 0.0
        amps, slope = self._knee.at(-volts)
        return -amps, slope


def laws_of(circuit: Circuit, values: Floats) -> tuple[Law, ...]:
    """Return one law a device.

    Each takes the port voltages and writes the currents of its ports, and their slopes
    in the order of `device.pattern`.
    """
    return (
        *_junctions(circuit, values),
        *_transistors(circuit, values),
        *_channels(circuit, values),
        *_followers(circuit, values),
        *_bypasses(circuit, values),
    )


def _columns(circuit: Circuit, values: Floats, *names: str) -> list[tuple[float, ...]]:
    """Return some parameters, device by device."""
    tables = (
        circuit.column(name, values) if name in circuit.columns else circuit.fixed[name]
        for name in names
    )
    return list(zip(*(table.tolist() for table in tables), strict=True))


def _junctions(circuit: Circuit, values: Floats) -> list[Law]:
    rows = _columns(
        circuit,
        values,
        *("Junction.drop.at", "Junction.drop", "Junction.slope", "Junction.leak"),
        *("Junction.breakdown.at", "Junction.breakdown", "Junction.breakdown_slope"),
    )
    return [
        _junction(port, _Knee(at, drop, slope), leak, _Back(tested, volts, steep))
        for port, (at, drop, slope, leak, tested, volts, steep) in enumerate(rows)
    ]


def _junction(port: int, knee: _Knee, leak: float, back: _Back) -> Law:
    def law(volts: Sequence[float], amps: list[float], slopes: list[float]) -> None:
        across = volts[port]
        forward, steep = knee.at(across)
        lost, faint = _leak(leak, across)
        broken, over = back.at(across)
        amps[port] = forward + lost + broken
        slopes[port] = steep + faint + over

    return law


def _transistors(circuit: Circuit, values: Floats) -> list[Law]:
    rows = _columns(
        circuit,
        values,
        *("Transistor.drop.at", "Transistor.drop", "Transistor.slope"),
        *("Transistor.gain", "Transistor.reverse_gain", "Transistor.leak"),
        *("Transistor.breakdown.at", "Transistor.breakdown"),
    )
    first, count = circuit.counts["Junction"], len(rows)
    ports = len(circuit.ports)
    return [
        _transistor(
            (first + k, first + count + k, ports + k, ports + count + k),
            _Knee(at, drop, slope),
            (1 + 1 / gain, 1 + 1 / back),
            leak,
            _Back(tested, volts, EMITTER_SLOPE),
        )
        for k, (at, drop, slope, gain, back, leak, tested, volts) in enumerate(rows)
    ]


def _transistor(
    places: tuple[int, int, int, int],
    knee: _Knee,
    gains: Pair,
    leak: float,
    back: _Back,
) -> Law:
    be, bc, be_by_bc, bc_by_be = places
    up, down = gains

    def law(volts: Sequence[float], amps: list[float], slopes: list[float]) -> None:
        f, f_slope = knee.at(volts[be])
        r, r_slope = knee.at(volts[bc])
        lost_be, faint_be = _leak(leak, volts[be])
        lost_bc, faint_bc = _leak(leak, volts[bc])
        broken, over = back.at(volts[be])
        amps[be] = f * up - r + lost_be + broken
        amps[bc] = r * down - f + lost_bc
        slopes[be] = f_slope * up + faint_be + over
        slopes[bc] = r_slope * down + faint_bc
        slopes[be_by_bc], slopes[bc_by_be] = -r_slope, -f_slope

    return law


def _channels(circuit: Circuit, values: Floats) -> list[Law]:
    rows = _columns(
        circuit, values, "Channel.threshold", "Channel.on_ohms", "Channel.on_ohms.at"
    )
    first = circuit.counts["Junction"] + 2 * circuit.counts["Transistor"]
    cross = len(circuit.ports) + 2 * circuit.counts["Transistor"]
    return [
        _channel(
            (first + k, first + len(rows) + k, cross + k),
            threshold,
            1 / (ohms * max(at - threshold, 0.5)),
        )
        for k, (threshold, ohms, at) in enumerate(rows)
    ]


def _channel(places: tuple[int, int, int], threshold: float, k: float) -> Law:
    gs, ds, by = places

    def law(volts: Sequence[float], amps: list[float], slopes: list[float]) -> None:
        source, across = volts[gs] - threshold, volts[ds]
        drain = source - across
        at_source, source_by, source_tail = _over(source)
        at_drain, drain_by, drain_tail = _over(drain)
        both = source > 0 and drain > 0
        bare = across if both else max(source, 0.0) - max(drain, 0.0)
        by_ds = k * at_drain * drain_by
        amps[gs], slopes[gs] = BLOCKED * volts[gs], BLOCKED
        flowing = k / 2 * (bare + source_tail - drain_tail) * (at_source + at_drain)
        amps[ds], slopes[ds] = flowing + BLOCKED * across, by_ds + BLOCKED
        slopes[by] = k * at_source * source_by - by_ds

    return law


def _over(drive: float, width: float = ROUND) -> tuple[float, float, float]:
    faint = exp(-abs(drive) / width)
    tail = width * log1p(faint)
    slope = (1.0 if drive > 0 else faint) / (1 + faint)
    return max(drive, 0.0) + tail, slope, tail


def _followers(circuit: Circuit, values: Floats) -> list[Law]:
    rows = _columns(
        circuit,
        values,
        *("Follower.threshold", "Follower.ohms", "Follower.transfer"),
        *("Follower.gain", "Follower.dropout", "Follower.down", "Follower.up"),
        *("Follower.oneway", "Follower.coupled"),
        *("Follower.control", "Follower.control.at"),
    )
    count, ports = len(rows), len(circuit.ports)
    first = ports - circuit.counts["Bypass"] - 3 * count
    cross = ports + 2 * circuit.counts["Transistor"] + circuit.counts["Channel"]
    found: list[Law] = []
    for k, (threshold, ohms, transfer, *rest) in enumerate(rows):
        gain, dropout, down, up, oneway, coupled, control, at = rest
        own = first + k, first + count + k, first + 2 * count + k
        places = (*own, cross + k, cross + count + k)
        if coupled:
            found.append(_coupler(places, transfer, _Knee(at, control, LED_SLOPE)))
        else:
            pulls = down / ohms, up / ohms
            law = _follower(places, threshold, gain, pulls, dropout, oneway=oneway > 0)
            found.append(law)
    return found


def _follower(
    places: Places,
    threshold: float,
    gain: float,
    pulls: Pair,
    drop: float,
    *,
    oneway: bool,
) -> Law:
    control, low, high, low_by, high_by = places
    down, up = pulls

    def law(volts: Sequence[float], amps: list[float], slopes: list[float]) -> None:
        lifted = gain * (volts[control] - threshold)
        share = 1 / (1 + exp(-min(max(lifted, -MOST), MOST)))
        turn = gain * share * (1 - share)
        under, over = volts[low] - drop, -volts[high] - drop
        under_by = over_by = 1.0
        if oneway:
            under, under_by, _ = _over(under, PASSES)
            over, over_by, _ = _over(over, PASSES)
        amps[control], slopes[control] = BLOCKED * volts[control], BLOCKED
        amps[low] = down * (1 - share) * under + BLOCKED * volts[low]
        slopes[low] = down * (1 - share) * under_by + BLOCKED
        slopes[low_by] = -down * turn * under
        amps[high] = -up * share * over + BLOCKED * volts[high]
        slopes[high] = up * share * over_by + BLOCKED
        slopes[high_by] = -up * turn * over

    return law


def _coupler(places: Places, transfer: float, knee: _Knee) -> Law:
    control, low, high, low_by, high_by = places

    def law(volts: Sequence[float], amps: list[float], slopes: list[float]) -> None:
        lit, steep = knee.at(volts[control])
        bent = tanh(volts[low] / PINCH)
        amps[control], slopes[control] = BLOCKED * volts[control], BLOCKED
        amps[low] = transfer * lit * bent + BLOCKED * volts[low]
        slopes[low] = transfer * lit * (1 - bent * bent) / PINCH + BLOCKED
        slopes[low_by] = transfer * steep * bent
        amps[high], slopes[high] = BLOCKED * volts[high], BLOCKED
        slopes[high_by] = 0.0

    return law


def _bypasses(circuit: Circuit, values: Floats) -> list[Law]:
    siemens = circuit.column("Bypass.siemens", values).tolist()
    first = len(circuit.ports) - len(siemens)
    return [_bypass(first + k, one + BLOCKED) for k, one in enumerate(siemens)]


def _bypass(port: int, siemens: float) -> Law:
    def law(volts: Sequence[float], amps: list[float], slopes: list[float]) -> None:
        amps[port], slopes[port] = siemens * volts[port], siemens

    return law
