"""What a gate takes in, and what its power device spends on switching.

Gate charge and driver power Qg V f, mean gate current Qg / t: any application note on
gate drive, such as Microchip AN799, "Matching MOSFET drivers to MOSFETs", and Texas
Instruments SLUA618, "Fundamentals of MOSFET and IGBT gate driver circuits" (from
memory). Switching loss of a clamped inductive load, V I / 2 times both transition
times: N. Mohan, T. M. Undeland & W. P. Robbins, Power Electronics (from memory).
"""

from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.network.device import law
from tracegraph.network.newton import Truths
from tracegraph.stage.branch import Channel
from tracegraph.stage.jobs import GATED, job_of
from tracegraph.stage.kinds.gate_charge import gate_charge
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage
from tracegraph.waves.result import Gate, Loss, Measures, Switch
from tracegraph.waves.running import Ran

MAIN = {"igbt": ("c", "e")}  # drain and source of each kind, else d and s
ENDED = 0.1  # share of volts or amperes under which a transition has ended
LOADED = 1e-3  # amperes; less is no load
NEARLY = 0.9  # of the way to the top, at which a gate counts as arrived
EVEN = 8192
DRAINS = 4  # the drain-source ports among the classes of a circuit's ports


def gated_at(stage: Stage, net: str) -> tuple[Part, ...]:
    """Return the power devices whose gate is at a net, fitted or not."""
    return tuple(
        part
        for part in stage.parts
        if job_of(part) in GATED and part.pins.get("g") == net
    )


def main_pins(part: Part) -> tuple[str, str]:
    """Return the nets of drain and source, or collector and emitter."""
    high, low = MAIN.get(part.kind.word, ("d", "s"))
    return part.pins.get(high, f"{part.ref}.{high}"), part.pins.get(
        low, f"{part.ref}.{low}"
    )


def into_net(ran: Ran, net: str) -> tuple[Floats, Floats]:
    """Return charge and current into all capacitances at a net."""
    circuit = ran.circuit
    node, ends = circuit.nodes[net], circuit.ends["Store"]
    sign = (ends[:, 0] == node).astype(float) - (ends[:, 1] == node)
    return ran.course.charge @ sign, ran.course.flow @ sign


def gate_of(ran: Ran, net: str, found: Measures, period: float) -> Gate | None:
    """Return what goes into what stands at a net; None where nothing takes charge."""
    charge, amps = into_net(ran, net)
    last = _last(ran.times, period)
    if not charge.any() or found.hertz is None:
        return None
    taken = float(np.maximum(np.diff(charge[last]), 0.0).sum())
    return Gate(
        taken,
        max(float(amps[last].max()), 0.0),
        max(float(-amps[last].min()), 0.0),
        taken * found.amplitude * found.hertz,
    )


def _last(times: Floats, period: float) -> slice:
    return slice(int(np.searchsorted(times, times[-1] - period * (1 + 1e-9))), None)


def switches(stage: Stage, net: str, ran: Ran, period: float) -> tuple[Switch, ...]:
    """Return how the power devices at a net switch."""
    return tuple(
        _switch(part, ran, period, _load(stage, part))
        for part in gated_at(stage, net)
        if part.fitted
    )


def _load(stage: Stage, part: Part) -> str:
    """Return the line of a load between a device and the highest rail, or its ground."""
    if not stage.rails or not stage.grounds:
        return ""
    high, low = main_pins(part)
    rail = max(stage.rails, key=lambda one: abs(one.volts.typical or 0.0)).net
    used = {one.ref for one in stage.parts}
    ref = next(f"R{number}" for number in range(99, 0, -1) if f"R{number}" not in used)
    ends = (low, stage.grounds[0].net) if high == rail else (rail, high)
    return f"{ref} load 47R {ends[0]} -- {ends[1]}" if ends[0] != ends[1] else ""


class _Seen(NamedTuple):
    """The last period of a power device.

    Attributes:
        times: Seconds.
        gate: Gate volts that turn it on.
        across: Volts that it holds off.
        amps: Through its channel.
        rest: Volts that it holds off before the first pulse.
    """

    times: Floats
    gate: Floats
    across: Floats
    amps: Floats
    rest: float


def _switch(part: Part, ran: Ran, period: float, load: str) -> Switch:
    high, low = main_pins(part)
    sign = -1.0 if part.kind.word == "pfet" else 1.0
    last, nodes = _last(ran.times, period), ran.circuit.nodes
    seen = _Seen(
        ran.times[last],
        sign * ran.volts(part.pins["g"], low)[last],
        sign * ran.volts(high, low)[last],
        _channel_amps(part, ran, last),
        sign * float(ran.rest[nodes[high]] - ran.rest[nodes[low]]),
    )
    symbol = "vgeth" if part.has("vgeth") else "vgsth"
    threshold = part.quantity(symbol).typical or 0.0
    on_volts = _on_volts(part, threshold)
    even = np.interp(
        np.linspace(seen.times[0], seen.times[-1], EVEN), seen.times, seen.gate
    )
    between = float(((even > threshold) & (even < on_volts)).mean())
    return Switch(
        part.ref,
        part.kind.title,
        threshold,
        on_volts,
        between,
        bool(seen.gate.max() >= on_volts),
        float(seen.gate.min()),
        float(seen.gate.max()),
        _loss(seen, threshold, on_volts, 1 / period, load),
    )


def _on_volts(part: Part, threshold: float) -> float:
    """Return the gate volts at which the data sheet calls it on, less a tenth."""
    stated = gate_charge(part).volts
    if part.has("rdson"):
        stated = part.quantity("rdson").at or stated
    return max(NEARLY * stated, threshold)


def _channel_amps(part: Part, ran: Ran, last: slice) -> Floats:
    """Return what flows through a device's channel."""
    circuit = ran.circuit
    own = [one.owner == part.ref for one in circuit.of(Channel)]
    nodes = ran.nodes[last]
    ports = nodes[:, circuit.ports[:, 0]] - nodes[:, circuit.ports[:, 1]]
    amps = law(circuit, circuit.values, ports).amps
    return np.asarray(amps[:, circuit.port_cuts[DRAINS]][:, own].sum(axis=1))


def _loss(
    seen: _Seen, threshold: float, on_volts: float, hertz: float, load: str
) -> Loss | None:
    """Return what switching costs; None where the device does not go all the way."""
    volts = max(float(seen.across.max()), seen.rest)
    on = (seen.gate > threshold) & (seen.across < ENDED * volts)
    amps = float(np.median(seen.amps[on])) if on.any() else 0.0
    if volts <= 0.0 or not on.any():
        return None
    begin, end = _edges(seen.times, seen.gate > threshold)
    if begin is None or end is None:
        return None
    if amps > LOADED:
        low = seen.across < ENDED * volts
        opened, closing = _first(seen, low, begin), _last_until(seen, low, end)
        closed = (
            None if closing is None else _first(seen, seen.amps < ENDED * amps, closing)
        )
        if opened is None or closing is None or closed is None:
            return None
        joules = 0.5 * volts * amps * (opened - begin + closed - closing)
        solved = _energy(seen, begin, opened) + _energy(seen, closing, closed)
        return Loss(
            opened - begin, closed - closing, volts, amps, hertz, joules, solved
        )
    full = min(on_volts, NEARLY * float(seen.gate.max()))
    high = seen.gate >= full
    opened, closing = _first(seen, high, begin), _last_until(seen, high, end)
    if opened is None or closing is None:
        return None
    return Loss(opened - begin, end - closing, volts, None, hertz, None, None, load)


def _edges(times: Floats, over: Truths) -> tuple[float | None, float | None]:
    """Return when something begins, and when it then ends."""
    starts = np.flatnonzero(~over[:-1] & over[1:])
    ends = np.flatnonzero(over[:-1] & ~over[1:])
    later = ends[ends > starts[0]] if starts.size else ends[:0]
    if not later.size:
        return None, None
    return float(times[starts[0]]), float(times[later[0] + 1])


def _first(seen: _Seen, true: Truths, after: float) -> float | None:
    """Return the first time from `after` on at which something is so, if it is."""
    rows = np.flatnonzero(true & (seen.times >= after))
    return float(seen.times[rows[0]]) if rows.size else None


def _last_until(seen: _Seen, true: Truths, before: float) -> float | None:
    """Return the last time up to `before` at which something is so, if it is."""
    rows = np.flatnonzero(true & (seen.times <= before))
    return float(seen.times[rows[-1]]) if rows.size else None


def _energy(seen: _Seen, begin: float, end: float) -> float:
    """Return the energy that goes into the channel between two times."""
    inside = (seen.times >= begin) & (seen.times <= end)
    power, times = (seen.across * seen.amps)[inside], seen.times[inside]
    return float(((power[1:] + power[:-1]) / 2 * np.diff(times)).sum())
