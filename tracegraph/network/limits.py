"""How far a port's voltage may move in one step of Newton's method.

Past its knee an exponential multiplies an overshoot into absurd currents. There the
step is taken in current, as the straight line predicts it, and turned back into a
voltage: the step's logarithm. (General practice in solving junction networks.)
"""

from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.device import LED_SLOPE, LN10, PINCH
from tracegraph.network.drive import CLAMP_SLOPE, Drive
from tracegraph.network.exponentials import EMITTER_SLOPE

LIVE_AMPS = 1e-2  # the order of the currents where no meter tells
LEAST_AMPS = 1e-8  # and no lower than this
KNEE = 1e-8  # share of the current at which a port counts as bent
SMALL_STEP = 0.1  # e-folds that the straight line foretells well enough
LOWEST_STEP = -0.999
PINCHED = 3.0  # times PINCH at which an optocoupler's output is saturated
TURNED = 8.0  # e-folds from its middle at which an output has turned over


class Knees(NamedTuple):
    """Where ports begin to bend, and over how many volts a current grows e-fold.

    Attributes:
        high: Forward knee, volts; infinite where there is none.
        fold: Its e-fold voltage.
        low: Reverse knee, as a magnitude.
        low_fold: Its e-fold voltage.
        middle: Volts at which an output turns over; NaN where none does.
        band: Volts to either side within which it does.
        firm: 1 where a step always stops there: a law that never falls.
    """

    high: Floats
    fold: Floats
    low: Floats
    low_fold: Floats
    middle: Floats
    band: Floats
    firm: Floats

    def limit(self, wanted: Floats, before: Floats, *, halt: bool = True) -> Floats:
        """Return the voltages to linearise at, from those wanted and those before.

        Args:
            wanted: Where the straight line leads.
            before: Where it was drawn.
            halt: Whether an output that would turn over right across stops midway.
        """
        forward = _bend(wanted, before, self.high, self.fold)
        bent = -_bend(-forward, -before, self.low, self.low_fold)
        if not self.band.any():
            return bent
        with np.errstate(invalid="ignore"):
            over = np.minimum(bent, before) < self.middle - self.band
            over &= np.maximum(bent, before) > self.middle + self.band
        if not halt:
            over &= self.firm > 0
        return np.where(over, self.middle, bent)


def _bend(wanted: Floats, before: Floats, knee: Floats, fold: Floats) -> Floats:
    """Return voltages wanted past the knee as the step in current would have them.

    The straight line at `before` predicts `1 + step` times its current; the
    exponential carries that at `before + fold * log(1 + step)`. Up or down, this is
    the answer at once where the rest of the section fixes the current.
    """
    step = (wanted - before) / fold
    stepped = before + fold * np.log1p(np.maximum(step, LOWEST_STEP))
    past = np.where(before < knee, knee, stepped)
    free = (np.maximum(wanted, before) <= knee) | (np.abs(step) <= SMALL_STEP)
    return np.where(free, wanted, past)


def port_knees(circuit: Circuit, values: Floats, amps: float) -> Knees:
    """Return the knees of all ports at the order of current that will flow."""
    amps = float(np.clip(abs(amps) or LIVE_AMPS, LEAST_AMPS, LIVE_AMPS)) * KNEE
    fixed = circuit.fixed

    def own(name: str) -> Floats:
        return circuit.column(name, values)

    junction = _knee(
        own("Junction.drop"), own("Junction.slope"), fixed["Junction.drop.at"], amps
    )
    junction_low = _knee(
        own("Junction.breakdown"),
        fixed["Junction.breakdown_slope"],
        fixed["Junction.breakdown.at"],
        amps,
    )
    bipolar = _knee(
        own("Transistor.drop"),
        own("Transistor.slope"),
        fixed["Transistor.drop.at"],
        amps,
    )
    emitter_low = _knee(
        own("Transistor.breakdown"),
        np.full_like(own("Transistor.breakdown"), EMITTER_SLOPE),
        fixed["Transistor.breakdown.at"],
        amps,
    )
    none = _straight(own("Transistor.drop"))
    channel = _straight(own("Channel.threshold"))
    led = _led(circuit, values, amps)
    output = _straight(own("Follower.threshold"))
    past = _straight(own("Bypass.siemens"))
    high = [junction, bipolar, bipolar, channel, channel, led, output, output, past]
    low = [junction_low, emitter_low, none, channel, channel, *[output] * 3, past]
    sides = [
        np.concatenate([part[index] for part in side], axis=-1)
        for side in (high, low)
        for index in (0, 1)
    ]
    high_knee, fold, low_knee, low_fold = sides
    turns = _turns(circuit, values, high_knee)
    return Knees(high_knee, fold, low_knee, low_fold, *turns)


def _turns(
    circuit: Circuit, values: Floats, like: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return where outputs turn over, how far about it, and which always stop there.

    A step right across would go from one side on which nothing changes to the other,
    and back again: it stops in the middle, where the output follows best. Not always
    by a control voltage, for an output that holds itself is led astray there; always
    by an optocoupler's own output voltage. NaN at all other ports.
    """
    middle, band = np.full(like.shape, np.nan), np.zeros(like.shape)
    firm = np.zeros(like.shape)
    count = circuit.counts["Follower"]
    if count:
        first = like.shape[-1] - circuit.counts["Bypass"] - 3 * count
        control, low = (
            slice(first, first + count),
            slice(first + count, first + 2 * count),
        )
        coupled = circuit.fixed["Follower.coupled"] > 0
        threshold = circuit.column("Follower.threshold", values)
        middle[..., control] = np.where(coupled, np.nan, threshold)
        band[..., control] = TURNED / circuit.fixed["Follower.gain"]
        middle[..., low] = np.where(coupled, 0.0, np.nan)
        band[..., low] = PINCHED * PINCH
        firm[..., low] = 1.0
    return middle, band, firm


def drive_knees(drive: Drive) -> Knees:
    """Return the knee of the meter's voltage limit, if it has one."""
    limited = drive.amps != 0.0 and not np.isfinite(drive.ohms)
    none, fold = np.asarray(np.inf), np.asarray(CLAMP_SLOPE / LN10)
    knee = np.asarray(drive.volts + CLAMP_SLOPE * np.log10(KNEE))
    no_turn = (np.asarray(np.nan), np.asarray(0.0), np.asarray(0.0))
    return Knees(knee if limited else none, fold, none, fold, *no_turn)


def _knee(
    drop: Floats, slope: Floats, at: Floats, amps: float
) -> tuple[Floats, Floats]:
    """Return where an exponential reaches `amps`, and its e-fold voltage."""
    fold = np.broadcast_to(slope / LN10, drop.shape)
    return np.maximum(drop + slope * np.log10(amps / at), fold), fold


def _straight(like: Floats) -> tuple[Floats, Floats]:
    return np.full_like(like, np.inf), np.ones_like(like)


def _led(circuit: Circuit, values: Floats, amps: float) -> tuple[Floats, Floats]:
    """Return the knees of control ports: an optocoupler's bends as its diode does."""
    threshold = circuit.column("Follower.threshold", values)
    drop = np.broadcast_to(circuit.fixed["Follower.control"], threshold.shape)
    at = circuit.fixed["Follower.control.at"]
    knee, fold = _knee(drop, np.full_like(drop, LED_SLOPE), at, amps)
    coupled = circuit.fixed["Follower.coupled"] > 0
    return np.where(coupled, knee, np.inf), fold
