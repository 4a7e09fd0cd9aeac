"""Circuits written out by hand, net by net, for scipy to solve."""

from math import exp, log1p, tanh

import numpy as np

from tracegraph.network.pulse import Pulse

LN10 = 2.302585092994046
PICO = 1e-12


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
        # (Cgs + Cgd) -Cgd; -Cgd (Cgd + 1 pF)
        a, b, d = 2.56e-9 + farads, -farads, farads + PICO
        scale = a * d - b * b
        return np.array(
            [
                (pin - nb / 22e3 - base_1) / PICO,
                ((pb - pull) / 10e3 - collector_1) / PICO,
                ((15 - pb) / 4.7e3 + base_2 - (pb - pull) / 10e3) / PICO,
                (collector_2 - drv / 1e3 - diode + base_3) / PICO,
                (diode - into - base_3 - collector_3) / PICO,
                (gate_amps * d - b * drain_amps) / scale,
                (a * drain_amps - b * gate_amps) / scale,
            ]
        )
