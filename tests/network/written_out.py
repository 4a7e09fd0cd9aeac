"""Circuits written out by hand, net by net, for scipy to solve."""

from math import exp, log1p, tanh

import numpy as np

from tracegraph.network.pulse import Pulse

LN10 = 2.302585092994046
FAINT = 1e-14  # farads at a net that has none


def knee(volts: float, at: float, drop: float, slope: float) -> float:
    """Return the current of a junction that carries `at` amperes at `drop` volts."""
    rate = LN10 / slope
    over = (volts - drop) * rate
    if over > 80.0:
        return at * exp(80.0) * (1 + over - 80.0)
    return at * (exp(over) - exp(-drop * rate))


def leak(volts: float, full: float) -> float:
    return full * tanh(volts / 0.1)


def transistor(be: float, bc: float, gain: float, back: float) -> tuple[float, float]:
    """Return base and collector current of the transport form, 0.66 V at 1 mA."""
    forward, reverse = knee(be, 1e-3, 0.66, 0.06), knee(bc, 1e-3, 0.66, 0.06)
    base = forward / gain + reverse / back
    return base, forward - reverse * (1 + 1 / back)


def channel(gate: float, drain: float, threshold: float, factor: float) -> float:
    """Return the drain current of the square law, rounded under the threshold."""

    def over(drive: float) -> float:
        round_ = 0.087
        return max(drive, 0.0) + round_ * log1p(exp(-abs(drive) / round_))

    return (
        factor / 2 * (over(gate - threshold) ** 2 - over(gate - drain - threshold) ** 2)
    )


class Treadmill:
    """The gate drive of `examples/treadmill-gate-drive.trace`, rails held stiffly.

    Nets: NB, PULL, PB, DRV, GD, GATE, MOT-. Gate-drain capacitance: oxide of 3.5755 nF
    that falls to 40 pF at 25 V, as the usual charge of a gate of 2.6 nF asks for.
    """

    full, small, at = 3.57551786e-9, 40e-12, 25.0

    def __init__(self, pulse: Pulse, helper: bool = True) -> None:
        self.pulse, self.helper = pulse, float(helper)
        self.bend = self.at / ((self.full / self.small) ** 2 - 1)

    def rest(self) -> np.ndarray:
        return np.array([0.0, 15.0, 15.0, 0.0, 0.0, 0.0, 320.0])

    def rates(self, time: float, state: np.ndarray) -> np.ndarray:
        """Return volts a second of every net."""
        nb, pull, pb, drv, gd, gate, mot = state.tolist()
        pin = (self.pulse.at(time) - nb) / (330 + 4.7e3)
        base_1, collector_1 = transistor(nb, nb - pull, 200, 4)
        base_2, collector_2 = transistor(15 - pb, drv - pb, 200, 4)
        base_3, collector_3 = transistor(gd - drv, 0 - drv, 200, 4)
        base_3, collector_3 = base_3 * self.helper, collector_3 * self.helper
        diode = knee(drv - gd, 1e-3, 0.6, 0.1) + leak(drv - gd, 1e-9)
        into = (gd - gate) / 15
        drain = channel(gate, mot, 3.5, 1 / (0.1 * 6.5))
        drain -= knee(-mot, 1e-3, 0.48, 0.065) + leak(-mot, 1e-9)
        free = knee(mot - 320, 1e-3, 0.5, 0.09) + leak(mot - 320, 1e-9)
        under = mot - gate
        farads = self.full / (1 + max(under, 0.0) / self.bend) ** 0.5
        gate_amps = into - gate / 22e3
        drain_amps = -drain - free
        a, b, d = 2.56e-9 + farads, -farads, farads + FAINT
        scale = a * d - b * b
        return np.array(
            [
                (pin - nb / 22e3 - base_1) / FAINT,
                ((pb - pull) / 10e3 - collector_1) / FAINT,
                ((15 - pb) / 4.7e3 + base_2 - (pb - pull) / 10e3) / FAINT,
                (collector_2 - drv / 1e3 - diode + base_3) / FAINT,
                (diode - into - base_3 - collector_3) / FAINT,
                (gate_amps * d - b * drain_amps) / scale,
                (a * drain_amps - b * gate_amps) / scale,
            ]
        )


class Chopper:
    """A driver chip, a gate, and a coil of 200 uH and 6 ohm that a diode catches.

    Nets: GATE, SW, and the coil's current. The section is in `CHOPPER`; what leaks at
    the chip's pins, nanoamperes, is left out.
    """

    full, small, at = 0.0, 50e-12, 25.0

    def __init__(self, pulse: Pulse, full: float) -> None:
        self.pulse, self.full = pulse, full
        self.bend = self.at / ((full / self.small) ** 2 - 1)

    def rest(self) -> np.ndarray:
        return np.array([0.0, 48.0, 0.0])

    def output(self, time: float, gate: float) -> float:
        """Return the current into the gate resistor: the chip's two pulls and 10 ohm."""
        share = 1 / (1 + exp(-min(max(20 * (self.pulse.at(time) - 1.6), -500), 500)))
        out = ((1 - share) * 0.1 / 5 + share * 11.9 / 5 + gate / 10) / (1 / 5 + 1 / 10)
        return (out - gate) / 10

    def rates(self, time: float, state: np.ndarray) -> np.ndarray:
        """Return volts a second of both nets and amperes a second of the coil."""
        gate, drain, coil = state.tolist()
        into = self.output(time, gate) - gate / 10e3
        amps = channel(gate, drain, 3.0, 1 / (0.1 * 7.0))
        amps -= knee(-drain, 1e-3, 0.48, 0.065)
        free = knee(drain - 48, 1e-3, 0.55, 0.09)
        farads = self.full / (1 + max(drain - gate, 0.0) / self.bend) ** 0.5
        a, b, d = 1.45e-9 + farads, -farads, farads + 100e-12
        scale = a * d - b * b
        out = coil - amps - free
        return np.array(
            [
                (into * d - b * out) / scale,
                (a * out - b * into) / scale,
                (48 - drain - 6 * coil) / 200e-6,
            ]
        )


CHOPPER = """
ground COM
rail P12 12V
rail BUS 48V
input PWM 0V / 5V via 100R 100kHz 40%
U1 driver in=PWM out=OUT gnd=COM vcc=P12 rout=5R vth=1.6V
R1 10R OUT -- GATE
R2 10k GATE -- COM
Q1 nfet g=GATE d=SW s=COM vgsth=3V rdson=0.1R@10V ciss=1n5 crss=50p qg=40n
L1 200u rdc=6R BUS -- SW
D1 fast SW -> BUS vf=0.55V@1mA slope=90mV
C1 100p SW -- COM
"""
