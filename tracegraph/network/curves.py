"""The exponentials in the ports' laws: their voltage at a current, and their fold."""

from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.device import LED_SLOPE, LN10
from tracegraph.network.exponentials import EMITTER_SLOPE

Curve = tuple[Floats, Floats]


class Knees(NamedTuple):
    """Where ports carry a given current, (ports, 1).

    Attributes:
        high: Forward voltage; infinite where a port has no exponential.
        fold: Voltage over which the current grows e-fold.
        low: Reverse voltage, a magnitude.
        low_fold: Its fold.
    """

    high: Floats
    fold: Floats
    low: Floats
    low_fold: Floats

    def take(self, ports: "np.ndarray[tuple[int, ...], np.dtype[np.intp]]") -> "Knees":
        """Return the knees of some ports, without the second axis."""
        return Knees(*(side[ports, 0] for side in self))

    def turned(self) -> "Knees":
        """Return the knees with forward and reverse exchanged."""
        return Knees(self.low, self.low_fold, self.high, self.fold)


def knees(circuit: Circuit, amps: float) -> Knees:
    """Return where the ports carry `amps` at typical values."""
    t, c, f = (circuit.counts[x] for x in ("Transistor", "Channel", "Follower"))
    past = circuit.counts["Bypass"]
    fixed = circuit.fixed
    back = circuit.column("Junction.breakdown"), fixed["Junction.breakdown_slope"]
    emitter = circuit.column("Transistor.breakdown"), np.full(t, EMITTER_SLOPE)
    forward = [
        _at(amps, fixed["Junction.drop.at"], *_own(circuit, "Junction")),
        *[_at(amps, fixed["Transistor.drop.at"], *_own(circuit, "Transistor"))] * 2,
        *[_none(c)] * 2,
        _led(circuit, amps),
        *[_none(f)] * 2,
        _none(past),
    ]
    reverse = [
        _at(amps, fixed["Junction.breakdown.at"], *back),
        _at(amps, fixed["Transistor.breakdown.at"], *emitter),
        *[_none(count) for count in (t, c, c, f, f, f, past)],
    ]
    return Knees(
        *(
            np.concatenate([curve[k] for curve in side])[:, None]
            for side in (forward, reverse)
            for k in (0, 1)
        )
    )


def _own(circuit: Circuit, kind: str) -> Curve:
    return circuit.column(f"{kind}.drop"), circuit.column(f"{kind}.slope")


def _at(amps: float, at: Floats, drop: Floats, slope: Floats) -> Curve:
    """Return where an exponential of `slope` volts a decade carries `amps`."""
    fold = slope / LN10
    return np.maximum(drop + slope * np.log10(amps / at), fold), fold


def _none(count: int) -> Curve:
    return np.full(count, np.inf), np.ones(count)


def _led(circuit: Circuit, amps: float) -> Curve:
    """Return the control ports' curves: an optocoupler's bends as its diode does."""
    fixed, count = circuit.fixed, circuit.counts["Follower"]
    slope = np.full(count, LED_SLOPE)
    drop, fold = _at(
        amps, fixed["Follower.control.at"], fixed["Follower.control"], slope
    )
    return np.where(fixed["Follower.coupled"] > 0, drop, np.inf), fold
