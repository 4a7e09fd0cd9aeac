"""Gate capacitances of FETs and IGBTs from the data sheet: Ciss, Crss and Qg.

Ciss = Cgs + Cgd and Crss = Cgd, both at 25 V from drain to source (IEC 60747-8).
The gate-drain capacitance is the gate's oxide in series with the layer that the drain
empties under it. With v volts of drain over gate it is Cox / sqrt(1 + v / bend), and
the whole oxide, Cox, once the drain is under the gate (deep depletion of a MOS
capacitor: S. M. Sze, Physics of Semiconductor Devices; B. J. Baliga, Fundamentals of
Power Semiconductor Devices, on the reverse transfer capacitance; from memory).
The bend follows from Crss at 25 V; Cox from the total gate charge, for between gate
off and drain high, and gate on and drain low,

    Qg = (Cgs + Cox) Vgs + 2 Cox bend (sqrt(1 + Vds / bend) - 1).
"""

from functools import cache
from math import sqrt
from typing import NamedTuple

from tracegraph.stage.branch import Store
from tracegraph.stage.kinds.law import through
from tracegraph.stage.part import Part

TESTED_AT = 25.0  # volts of drain over source for Ciss and Crss: usual on data sheets
OFF_SHARE = 0.8  # of the rated voltage that stands off in the charge test: likewise
GATE_VOLTS = {"igbt": 15.0, "sicfet": 18.0}  # gate volts of the charge test, else 10
LARGEST = 1e4  # Cox over Crss; more is no gate
HALVINGS = 60


class GateCharge(NamedTuple):
    """What a gate takes in, as taken for a part.

    Attributes:
        coulombs: Total gate charge.
        volts: Gate volts that it holds for.
        off_volts: Drain volts that it holds for.
        written: Whether the file states it; else the usual one is scaled by Ciss.
        full_farads: Gate-drain capacitance with the drain under the gate.
        odd: Whether the charge stated is less than Ciss alone takes in.
    """

    coulombs: float
    volts: float
    off_volts: float
    written: bool
    full_farads: float
    odd: bool


def gate_stores(part: Part, low: str, high: str, polarity: int) -> tuple[Store, Store]:
    """Return gate-source and gate-drain capacitance.

    Args:
        part: A FET or an IGBT.
        low: Its source or emitter.
        high: Its drain or collector.
        polarity: +1 for N type, -1 for P type.
    """
    input_farads, reverse = (part.quantity(symbol) for symbol in _symbols(part))
    cgs = through(lambda ci, cr: max(ci - cr, 0.0), "F", input_farads, reverse)
    full, at = gate_charge(part).full_farads, -polarity * TESTED_AT
    return Store("g", low, cgs), Store(
        "g", high, reverse, full_farads=full, at_volts=at
    )


def gate_charge(part: Part) -> GateCharge:
    """Return the gate charge of a part and the capacitance that it implies."""
    input_farads, reverse = (
        part.quantity(symbol).typical or 0.0 for symbol in _symbols(part)
    )
    coulombs, written = _coulombs(part, input_farads)
    volts = part.quantity("qg").at or GATE_VOLTS.get(part.kind.word, 10.0)
    rated = part.rated("V")
    off = OFF_SHARE * (rated.typical or 0.0) if rated else TESTED_AT
    own = max(input_farads - reverse, 0.0)
    full = _full_farads(coulombs - own * volts, reverse, volts, off)
    odd = written and full <= reverse
    return GateCharge(coulombs, volts, off, written, full, odd)


def _symbols(part: Part) -> tuple[str, str]:
    return ("cies", "cres") if part.has("cies") else ("ciss", "crss")


def _coulombs(part: Part, input_farads: float) -> tuple[float, bool]:
    """Return the total gate charge: as written, else the usual one by size."""
    written = "qg" in part.given
    coulombs = part.quantity("qg").typical or 0.0
    symbol = _symbols(part)[0]
    if written or symbol not in part.given:
        return coulombs, written
    usual = part.kind.parameters[symbol].quantity.typical or input_farads
    return coulombs * input_farads / usual, False


@cache
def _full_farads(coulombs: float, reverse: float, volts: float, off: float) -> float:
    """Return the oxide's capacitance with which gate-drain takes in so much charge."""
    if reverse <= 0.0 or coulombs <= reverse * (volts + off):
        return reverse
    low, high = 1.0, LARGEST
    for _ in range(HALVINGS):
        middle = sqrt(low * high)
        taken = _taken(middle * reverse, reverse, volts, off)
        low, high = (middle, high) if taken < coulombs else (low, middle)
    return low * reverse


def _taken(full: float, reverse: float, volts: float, off: float) -> float:
    bend = bend_volts(full, reverse, TESTED_AT)
    return full * (volts + 2 * bend * (sqrt(1 + off / bend) - 1))


def bend_volts(full: float, farads: float, at: float) -> float:
    """Return the volts over which the oxide's capacitance begins to shrink.

    >>> round(bend_volts(2e-9, 1e-9, 6.0), 9)
    2.0
    """
    return at / max((full / farads) ** 2 - 1, 1e-9)
