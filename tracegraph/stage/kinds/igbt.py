"""The IGBT: a gate's channel behind a junction, with its antiparallel diode."""

from tracegraph.quantity import Quantity, usual
from tracegraph.stage.branch import Branch, Channel, Junction
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import failing, leaky, opened, shorted
from tracegraph.stage.kinds.fet import FET_SOURCE
from tracegraph.stage.kinds.gate_charge import gate_stores
from tracegraph.stage.kinds.junctions import forward, junction, tested, volts
from tracegraph.stage.kinds.law import through
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters, words
from tracegraph.stage.part import Part

NO_DIODE = "no diode"

_INNER_DROP = volts(0.55, 0.45, 0.65)
_INNER_SLOPE = usual(0.075, 0.06, 0.10, "V/dec")
_KNEE = 0.85
_LEAST_OHMS = 1e-3
_LEAST_AMPERES = 1e-3
_GATE_VOLTS = 15.0


def _channel_ohms(part: Part) -> Quantity:
    """Return the channel's on-resistance from VCE(sat): what its junction leaves."""
    saturated = tested(part, "vcesat")
    amperes = saturated.at or _LEAST_AMPERES
    ohms = through(
        lambda vce: max((vce - _KNEE) / amperes, _LEAST_OHMS), "ohm", saturated
    )
    return Quantity(ohms.typical, ohms.low, ohms.high, "ohm", ohms.origin, _GATE_VOLTS)


def _cold(part: Part) -> tuple[Branch, ...]:
    leak = part.quantity("ices")
    inner = Junction("c", "*x", _INNER_DROP, _INNER_SLOPE, leak, family="igbt")
    channel = Channel("g", "*x", "e", 1, part.quantity("vgeth"), _channel_ohms(part))
    stores = gate_stores(part, "e", "c", 1)
    diode = junction(part, "e", "c", "body")
    return (inner, channel, *stores, *(() if NO_DIODE in part.variant else (diode,)))


IGBT = Kind(
    "igbt",
    "IGBT",
    ("Q", "T", "TR", "IGBT", "VT", "V"),
    (
        PinSpec("g", ("gate",), "gate", "1"),
        PinSpec("c", ("collector",), "collector", "2"),
        PinSpec("e", ("emitter",), "emitter", "3"),
    ),
    Form.PINS,
    symbol="igbt",
    cold=_cold,
    faults=failing(
        FET_SOURCE,
        shorted("c", "e", 0.31),
        shorted("g", "e", 0.10),
        shorted("c", "g", 0.10),
        leaky("c", "e", 0.22, ohms=100.0),
        leaky("g", "e", 0.17),
        opened("c", 0.025),
        opened("e", 0.025),
        opened("g", 0.05),
        swap=("c", "e"),
    ),
    parameters=parameters(
        Parameter("vgeth", usual(5.5, 4.0, 7.0, "V"), 0.2, PRACTICE),
        Parameter("vcesat", usual(1.8, 1.4, 2.4, "V", at=10.0), 0.15, PRACTICE),
        Parameter("ices", usual(1e-9, 1e-12, 1e-8, "A"), 0.9, PRACTICE),
        *forward(
            volts(0.48, 0.40, 0.60),
            usual(0.075, 0.058, 0.10, "V/dec"),
            usual(1e-9, 1e-12, 1e-8, "A"),
        ),
        Parameter("cies", usual(3e-9, 1e-9, 10e-9, "F"), 0.2, PRACTICE),
        Parameter("cres", usual(60e-12, 10e-12, 300e-12, "F"), 0.4, PRACTICE),
        Parameter("qg", usual(100e-9, 20e-9, 400e-9, "C"), 0.2, PRACTICE),
    ),
    rate=10.0,
    raised=RAISED,
    roles=("power switch", "low side", "high side", "brake"),
    ratings=("V", "A", "W"),
    variants=words({NO_DIODE: "igbt"}),
)

IGBTS = (IGBT,)
