"""Currents and slopes of the non-linear ports, for a whole batch at once.

Sources: junction law and transport form of the bipolar transistor (Ebers & Moll,
Proc. IRE 42, 1954); square law of the field-effect transistor (any semiconductor
textbook). Currents are stated by a data sheet's pair "volts at amperes" and the
slope in volts a decade: i = at * 10 ** ((u - drop) / slope) - the same at u = 0.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.circuit import Circuit, Floats, Ints

LN10 = float(np.log(10.0))
STEEPEST = 80.0  # exponent past which a law goes on as a straight line
LEAK_KNEE = 0.1  # volts at which a reverse leak is well on its way to its full value
BLOCKED = 1e-12  # siemens across every junction and channel: a blocked island settles
FAINT = 45.0  # folds under its test current at which a breakdown carries nothing
PASSES = 0.005  # volts: how sharply a pass stage ends to conduct
ROUND = 0.087  # volts: 100 mV a decade under a channel's threshold
PINCH = 0.1  # volts over which an optocoupler's output saturates
LED_SLOPE = 0.10  # volts a decade of an optocoupler's control junction


class Law(NamedTuple):
    """What the ports do at given voltages.

    Attributes:
        amps: Port currents, (..., ports).
        slopes: Derivatives of port currents by port voltages, one for each entry
            of `Pattern`, (..., entries), in siemens.
    """

    amps: Floats
    slopes: Floats


class Pattern(NamedTuple):
    """Which port current depends on which port voltage: entries (row, column)."""

    rows: Ints
    columns: Ints


def pattern(circuit: Circuit) -> Pattern:
    """Return the places of the non-zero slopes: the diagonal first, then the rest."""
    j, t, c, f = _counts(circuit)
    ports = j + 2 * t + 2 * c + 3 * f + circuit.counts["Bypass"]
    be, bc = j + np.arange(t), j + t + np.arange(t)
    gs = j + 2 * t + np.arange(c)
    control = j + 2 * t + 2 * c + np.arange(f)
    rows = [np.arange(ports), be, bc, gs + c, control + f, control + 2 * f]
    columns = [np.arange(ports), bc, be, gs, control, control]
    return Pattern(np.concatenate(rows), np.concatenate(columns))


def law(circuit: Circuit, values: Floats, volts: Floats) -> Law:
    """Return currents and slopes of all ports.

    Args:
        circuit: The structure.
        values: Parameter vectors, (..., parameters).
        volts: Port voltages, (..., ports), batch axes as in `values` or broadcast.
    """
    _, _, c, f = _counts(circuit)
    _, _, bc, *cuts = circuit.port_cuts
    gs, ds, con, out_low, out_high, over = (volts[..., cut] for cut in cuts)
    # what a section has none of is not worked out
    junctions, cross = _junctions(circuit, values, volts[..., : bc.stop])
    amps, own = [junctions.amps], [junctions.slopes]
    if c:
        channel, by_gate = _channels(circuit, values, gs, ds)
        amps += BLOCKED * gs, channel.amps
        own += np.full_like(gs, BLOCKED), channel.slopes
        cross.append(by_gate)
    if f:
        low, high, *by = _followers(circuit, values, con, out_low, out_high)
        amps += BLOCKED * con, low.amps, high.amps
        own += np.full_like(con, BLOCKED), low.slopes, high.slopes
        cross += by
    if circuit.counts["Bypass"]:
        past = circuit.column("Bypass.siemens", values) + BLOCKED
        amps.append(past * over)
        own.append(np.broadcast_to(past, over.shape))
    return Law(np.concatenate(amps, axis=-1), np.concatenate([*own, *cross], axis=-1))


def _counts(circuit: Circuit) -> tuple[int, int, int, int]:
    return (
        circuit.counts["Junction"],
        circuit.counts["Transistor"],
        circuit.counts["Channel"],
        circuit.counts["Follower"],
    )


def exponential(x: Floats) -> tuple[Floats, Floats]:
    """Return e**x - 1 and its derivative; past `STEEPEST` it goes on straight."""
    bounded = np.minimum(x, STEEPEST)
    slope = np.exp(bounded)
    return slope - 1.0 + slope * (x - bounded), slope


def _knee(at: Floats, drop: Floats, slope: Floats, u: Floats) -> Law:
    """Return the exponential that passes `at` amperes at `drop` volts.

    Counted from the drop, not from zero volts: a 15 V breakdown or a slope of 1 mV a
    decade would underflow otherwise.
    """
    rate = LN10 / slope
    over = (u - drop) * rate
    start = np.exp(-drop * rate)
    if over.max(initial=0.0) <= STEEPEST:
        grown = np.exp(over, out=over)
        return Law(at * (grown - start), (at * rate) * grown)
    bounded = np.minimum(over, STEEPEST)
    grown = np.exp(bounded)
    return Law(at * (grown * (1 + over - bounded) - start), (at * rate) * grown)


def _leak(full: Floats, u: Floats) -> Law:
    """Return a leak that grows with voltage and settles at `full` amperes."""
    bent = np.tanh(u / LEAK_KNEE)
    amps = full * bent
    amps += BLOCKED * u
    bent *= bent
    bent *= -full / LEAK_KNEE
    bent += full / LEAK_KNEE + BLOCKED
    return Law(amps, bent)


def _break(into: Law, at: Floats, volts: Floats, slope: Floats, u: Floats) -> None:
    """Add the breakdown current, `at` amperes at minus `volts`, to a law.

    It is worked out where there is any: e**-45 of 5 mA is 1e-22 A.
    """
    near = u < FAINT * slope / LN10 - volts
    if not near.any():
        return
    places = near.nonzero()
    port = places[-1]
    drop = volts[port] if volts.ndim == 1 else np.broadcast_to(volts, near.shape)[near]
    back = _knee(at[port], drop, slope[port], -u[places])
    into.amps[places] -= back.amps
    into.slopes[places] += back.slopes


def _junctions(
    circuit: Circuit, values: Floats, volts: Floats
) -> tuple[Law, list[Floats]]:
    """Return the law of all junctions, and the cross slopes of transistors.

    Transport form: F and R are a transistor's two exponentials; the current F - R goes
    from collector to emitter, F / gain into base-emitter, R / reverse gain into
    base-collector.
    """
    own = circuit.exponentials
    forward = _knee(own.at, _at(values, own.drop), _at(values, own.slope), volts)
    whole = _leak(_at(values, own.leak), volts)
    ends = len(own.breakdown)
    breaks = Law(whole.amps[..., :ends], whole.slopes[..., :ends])
    tested = own.broken_at, _at(values, own.breakdown)
    _break(breaks, *tested, own.broken_slope, volts[..., :ends])
    np.add(whole.amps, forward.amps, out=whole.amps)
    np.add(whole.slopes, forward.slopes, out=whole.slopes)
    if not circuit.counts["Transistor"]:
        return whole, []
    _, be, bc, *_ = circuit.port_cuts
    for one, other, gain in ((be, bc, "gain"), (bc, be, "reverse_gain")):
        less = 1 / circuit.column(f"Transistor.{gain}", values)
        whole.amps[..., one] += forward.amps[..., one] * less - forward.amps[..., other]
        whole.slopes[..., one] += forward.slopes[..., one] * less
    return whole, [-forward.slopes[..., bc], -forward.slopes[..., be]]


def _at(values: Floats, places: Ints) -> Floats:
    """Return parameters by their places, laid out in memory as they were."""
    if values.flags.c_contiguous:
        return values.take(places, axis=-1)
    return values.T.take(places, axis=0).T


def _channels(
    circuit: Circuit, values: Floats, gs: Floats, ds: Floats
) -> tuple[Law, Floats]:
    """Return the drain-source law of channels and its slope by the gate.

    Square law at both ends of the channel, each rounded over a few tens of millivolts
    into the exponential under its threshold (Enz, Krummenacher & Vittoz, Analog
    Integrated Circuits and Signal Processing 8, 1995): symmetrical, and without a
    corner anywhere. The factor is fixed by the on-resistance at its stated gate drive.
    """
    threshold = circuit.column("Channel.threshold", values)
    on_ohms = circuit.column("Channel.on_ohms", values)
    k = 1 / (on_ohms * np.maximum(circuit.fixed["Channel.on_ohms.at"] - threshold, 0.5))
    source, drain = gs - threshold, gs - ds - threshold
    both = _over(np.concatenate([source, drain], axis=-1))
    count = source.shape[-1]
    at_source, source_by, source_tail = (one[..., :count] for one in both)
    at_drain, drain_by, drain_tail = (one[..., count:] for one in both)
    # where both ends are driven the difference is ds itself: a volt's rounding, of a
    # channel that is fully on, would be nanoamperes
    bare = np.maximum(source, 0.0) - np.maximum(drain, 0.0)
    bare = np.where((source > 0) & (drain > 0), ds, bare)
    by_ds = k * at_drain * drain_by
    by_gs = k * at_source * source_by - by_ds
    amps = k / 2 * (bare + source_tail - drain_tail) * (at_source + at_drain)
    return Law(amps + BLOCKED * ds, by_ds + BLOCKED), by_gs


def _over(drive: Floats, width: float = ROUND) -> tuple[Floats, Floats, Floats]:
    """Return how far a channel is driven over its threshold, rounded.

    Also its slope, and what the rounding adds to the bare corner at zero.
    """
    faint = np.exp(-np.abs(drive) / width)
    tail = width * np.log1p(faint)
    slope = np.where(drive > 0, 1.0, faint) / (1 + faint)
    return np.maximum(drive, 0.0) + tail, slope, tail


def _followers(
    circuit: Circuit, values: Floats, control: Floats, low: Floats, high: Floats
) -> tuple[Law, Law, Floats, Floats]:
    """Return the pulls to both rails and their slopes by the control voltage."""
    fixed = circuit.fixed
    threshold = circuit.column("Follower.threshold", values)
    siemens = 1 / circuit.column("Follower.ohms", values)
    gain, drop = fixed["Follower.gain"], fixed["Follower.dropout"]
    share = 1 / (1 + np.exp(-np.clip(gain * (control - threshold), -500, 500)))
    turn = gain * share * (1 - share)
    down, up = fixed["Follower.down"] * siemens, fixed["Follower.up"] * siemens
    oneway = fixed["Follower.oneway"] > 0
    under, under_by = _forward(low - drop, oneway)
    over, over_by = _forward(-high - drop, oneway)
    pull_low = Law(
        down * (1 - share) * under + BLOCKED * low,
        down * (1 - share) * under_by + BLOCKED,
    )
    pull_high = Law(-up * share * over + BLOCKED * high, up * share * over_by + BLOCKED)
    low_by, high_by = -down * turn * under, -up * turn * over
    opto, opto_by = _opto(circuit, values, control, low)
    coupled = circuit.fixed["Follower.coupled"]
    return (
        Law(
            np.where(coupled, opto.amps, pull_low.amps),
            np.where(coupled, opto.slopes, pull_low.slopes),
        ),
        pull_high,
        np.where(coupled, opto_by, low_by),
        high_by,
    )


def _forward(volts: Floats, oneway: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Return what is left over an output's dropout, and its slope.

    A pass stage leads no current back: without a supply it gives nothing.
    """
    passed, slope, _ = _over(volts, PASSES)
    return np.where(oneway, passed, volts), np.where(oneway, slope, 1.0)


def _opto(
    circuit: Circuit, values: Floats, control: Floats, low: Floats
) -> tuple[Law, Floats]:
    """Return the output of optocouplers: transfer ratio times the diode's current."""
    transfer = circuit.column("Follower.transfer", values)
    at, drop = circuit.fixed["Follower.control.at"], circuit.fixed["Follower.control"]
    diode = _knee(at, drop, np.full_like(drop, LED_SLOPE), control)
    bent = np.tanh(low / PINCH)
    amps = transfer * diode.amps * bent + BLOCKED * low
    slope = transfer * diode.amps * (1 - bent**2) / PINCH + BLOCKED
    return Law(amps, slope), transfer * diode.slopes * bent
