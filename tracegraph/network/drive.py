"""The meter as a source, and what a solve gives back."""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.circuit import Floats
from tracegraph.network.device import exponential

CLAMP_SLOPE = 0.02  # volts a decade over which a current source meets its limit
LN10 = float(np.log(10.0))


class Drive(NamedTuple):
    """A source between red (plus) and black.

    Either a voltage behind a resistance (ohms ranges: `amps = volts / ohms`) or a
    constant current with a voltage limit (diode test: `ohms` infinite). No source at
    all is `Drive(0, inf, 0)`, a voltmeter `Drive(0, 10e6, 0)`.

    Attributes:
        amps: Short-circuit current in amperes.
        ohms: Source resistance in ohms; infinite for a constant current.
        volts: Open-circuit voltage or limit in volts.
    """

    amps: float
    ohms: float
    volts: float

    def current(self, across: Floats) -> tuple[Floats, Floats]:
        """Return the delivered current and its slope at a voltage across the probes."""
        amps, slope = (
            self.amps - across / self.ohms,
            np.full_like(across, -1 / self.ohms),
        )
        if self.amps == 0.0 or np.isfinite(self.ohms):
            return amps, slope
        rate = LN10 / CLAMP_SLOPE
        value, steep = exponential((across - self.volts) * rate)
        return amps - self.amps * (value + 1), slope - self.amps * rate * steep


class Solution(NamedTuple):
    """Solved readings, one a row.

    Attributes:
        volts: Red over black.
        amps: What the meter delivers.
        ports: Voltage of every non-linear port, (readings, ports).
        residual: Worst Kirchhoff residual of any node, in amperes.
        open: True where no path at all leads from red to black.
        converged: False where no answer was found; volts and amps are then NaN.
    """

    volts: Floats
    amps: Floats
    ports: Floats
    residual: Floats
    open: NDArray[np.bool_]
    converged: NDArray[np.bool_]

    def take(self, rows: NDArray[np.intp]) -> "Solution":
        """Return some of the readings."""
        volts, amps, ports, residual, is_open, converged = self
        return Solution(
            volts[rows],
            amps[rows],
            ports[rows],
            residual[rows],
            is_open[rows],
            converged[rows],
        )


class NotConvergedError(ArithmeticError):
    """A reading could not be solved; its message names the pair and parts involved."""

    def __init__(self, red: str, black: str, parts: Iterable[str]) -> None:
        """Say which pair failed, and which parts stand in it."""
        named = ", ".join(sorted(set(parts)))
        super().__init__(f"{red} to {black}: no steady reading found (through {named})")


def trusted(residual: Floats, drive: Drive) -> NDArray[np.bool_]:
    """Return where a residual is small enough for the answer to be given.

    Below 1e-6 of the current that the meter delivers in this range, and below 1 nA.
    """
    bound = min(1e-9, 1e-6 * drive.amps) if drive.amps else 1e-9
    return residual <= bound
