"""Capacitance mode: what parallel capacitors and paths do to the display.

The meter charges the points a little, at a low frequency and a low voltage, and takes
all that flows for capacitance. Capacitors side by side add; beside a path that carries
more than the capacitor does, the display is OL or nonsense.
"""

from math import pi

import numpy as np

from tracegraph.meter.instrument import Displayed
from tracegraph.meter.moved import SHARE
from tracegraph.meter.profile import Profile
from tracegraph.meter.window import Windows, with_meter
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.impedance import admittances
from tracegraph.network.spread import quantile, spread_of
from tracegraph.stage.reading import Mode

LEAST = 10e-12  # farads: less is lost in the leads; common practice, no source


def show_farads(
    circuit: Circuit, pairs: Ints, profile: Profile, values: Floats | None = None
) -> Displayed:
    """Return the capacitance that a meter shows for each pair; infinite for OL.

    Args:
        circuit: The section, compiled cold.
        pairs: Node indices of red and black, (readings, 2).
        profile: The meter; it must have the mode.
        values: Parameters, one vector a reading; else the circuit's own.
    """
    count = len(pairs)
    flat, still = np.zeros(count, np.intp), np.zeros(count)
    shown = _farads(circuit, pairs, profile, values)
    return Displayed(shown, flat, np.zeros(count, bool), still)


def farad_windows(circuit: Circuit, pairs: Ints, profile: Profile) -> Windows:
    """Return the windows of capacitance readings.

    Each independent variable is moved to both its limits alone; the quantile of the
    sum tells how far the board as a whole goes.
    """
    scale = profile.scales(Mode.CAP)[0]
    spread = spread_of(circuit)
    count, variables = len(pairs), len(spread.names)
    typical = _farads(circuit, pairs, profile)
    moves = np.concatenate([-np.eye(variables), np.eye(variables)])
    each = np.tile(spread.values(moves), (count, 1))
    seen = _farads(circuit, np.repeat(pairs, 2 * variables, axis=0), profile, each)
    seen = seen.reshape(count, 2, variables)
    with np.errstate(invalid="ignore"):
        change = np.nan_to_num(
            seen - typical[:, None, None], nan=0.0, posinf=0.0, neginf=0.0
        )
    effect = np.stack([-change[:, 0], change[:, 1]])
    reach = np.stack(quantile(effect, SHARE))
    furthest = np.abs(effect).sum(axis=2)
    worst = np.stack([typical - furthest[0], typical + furthest[1]])
    return with_meter(typical, typical + reach, worst, scale)


def _farads(
    circuit: Circuit, pairs: Ints, profile: Profile, values: Floats | None = None
) -> Floats:
    """Return the displays of pairs, on boards of these parameter values."""
    hertz = profile.cap.hertz if profile.cap else 0.0
    through = admittances(circuit, pairs, hertz, values)
    shown = through.imag / (2 * pi * hertz)
    spoilt = (np.abs(through.real) > np.abs(through.imag)) | (shown < 0)
    nothing = np.abs(through) < LEAST * 2 * pi * hertz
    return np.where(nothing, 0.0, np.where(spoilt, np.inf, shown))
