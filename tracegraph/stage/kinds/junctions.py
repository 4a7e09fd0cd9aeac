"""The usual junctions: forward drop at 1 mA, volts a decade, leakage, in one place.

Drops are what a diode test at 1 mA shows over ambient 15-35 degrees and from part to
part; the figures are the bench's own (common practice, no source) unless named.
"""

from dataclasses import replace

from tracegraph.quantity import Quantity, usual
from tracegraph.stage.branch import Junction
from tracegraph.stage.kind import Parameter
from tracegraph.stage.kinds.table import PRACTICE
from tracegraph.stage.part import Part

TEST_CURRENT = 1e-3
DROP_TOLERANCE = 0.06
"""A written drop of 0.60 V still moves 36 mV: ambient +-20 mV, part to part +-15 mV."""

IDEAL_SLOPE = usual(0.060, 0.058, 0.063, "V/dec")
"""Vt ln 10 is 59.5 mV at 300 K: what transistors come close to."""

SILICON_LEAK = usual(1e-9, 1e-11, 1e-8, "A")


def volts(typical: float, low: float, high: float) -> Quantity:
    """Return a usual forward drop at the diode test's 1 mA."""
    return usual(typical, low, high, "V", at=TEST_CURRENT)


def forward(
    drop: Quantity, slope: Quantity, leak: Quantity, source: str = PRACTICE
) -> tuple[Parameter, ...]:
    """Return the parameters of a junction under the symbols vf, slope and ir."""
    return (
        Parameter("vf", drop, DROP_TOLERANCE, source),
        Parameter("slope", slope, 0.05, source),
        Parameter("ir", leak, 0.9, source),
    )


def tested(part: Part, symbol: str) -> Quantity:
    """Return a parameter with its test condition: the kind's where none is written."""
    quantity = part.quantity(symbol)
    if quantity.at is not None:
        return quantity
    return replace(quantity, at=part.kind.parameters[symbol].quantity.at)


def junction(
    part: Part,
    anode: str,
    cathode: str,
    family: str,
    breakdown: Quantity | None = None,
) -> Junction:
    """Return a junction with the part's own vf, slope and ir."""
    drop, slope, leak = tested(part, "vf"), part.quantity("slope"), part.quantity("ir")
    return Junction(
        anode, cathode, drop, slope, leak, breakdown=breakdown, family=family
    )
