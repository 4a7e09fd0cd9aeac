"""Parts that clamp a voltage: zener, TVS, varistor."""

from dataclasses import replace

from tracegraph.quantity import Origin, Quantity, usual
from tracegraph.stage.branch import Branch, Junction
from tracegraph.stage.kind import Form, Kind, Parameter
from tracegraph.stage.kinds.failures import HANDBOOK, drifted, failing, opened, shorted
from tracegraph.stage.kinds.junctions import forward, junction, tested, volts
from tracegraph.stage.kinds.law import through
from tracegraph.stage.kinds.table import (
    DIODE_PINS,
    PRACTICE,
    RAISED,
    TWO_PINS,
    parameters,
    words,
)
from tracegraph.stage.part import Part

TWO_WAY = "two-way"
"""Among the variants of a suppressor that clamps in both directions."""

_FORWARD = forward(
    volts(0.66, 0.58, 0.75),
    usual(0.08, 0.058, 0.11, "V/dec"),
    usual(1e-9, 1e-11, 1e-7, "A"),
)
_CLAMP_FAULTS = failing(
    f"zener diode: {HANDBOOK}",
    opened("a", 0.45),
    drifted("vz", 0.85, 0.35),
    shorted("a", "k", 0.20),
    swap=("a", "k"),
)
_VARISTOR_ALPHA = 30.0
_INNER_DROP = 0.6  # of the grain that conducts: little enough flows at zero volts


def softness(volts_at_5_ma: float) -> float:
    """Return volts a decade of a zener's breakdown, from its nominal volts.

    Under about 5 V the field, not the avalanche, breaks the junction, and softly:
    a 3V3 type falls to about 2.3-2.9 V at 1 mA (small zener data sheets, from memory).
    """
    if volts_at_5_ma < 4.0:
        return 1.0
    return 0.5 if volts_at_5_ma < 5.6 else 0.05


def _zener(part: Part) -> tuple[Branch, ...]:
    return (_breaking(part, "a", "k", "zener"),)


def _tvs(part: Part) -> tuple[Branch, ...]:
    """Return one junction, or two in anti-series where it works both ways."""
    if TWO_WAY not in part.variant:
        return (_breaking(part, "a", "k", "tvs"),)
    less = through(lambda v, f: v - f, "V", part.quantity("vz"), part.quantity("vf"))
    held = replace(less, at=1e-3)
    return (
        junction(part, "a", "*m", "tvs", breakdown=held),
        junction(part, "k", "*m", "tvs", breakdown=held),
    )


def _breaking(part: Part, anode: str, cathode: str, family: str) -> Junction:
    vz = tested(part, "vz")
    nominal = vz.typical if vz.typical is not None else vz.high
    plain = junction(part, anode, cathode, family, breakdown=vz)
    return plain._replace(breakdown_slope=softness(nominal))


def _varistor(part: Part) -> tuple[Branch, ...]:
    """Return two anti-series junctions that only break down.

    `I = k V^alpha` with alpha about 30 for zinc oxide: a decade of current is
    `V (10^(1/alpha) - 1)`, about 8 % of the volts (general ceramics literature).
    """
    vz = tested(part, "vz")
    nominal = vz.typical if vz.typical is not None else vz.low
    slope = nominal * (10 ** (1 / _VARISTOR_ALPHA) - 1)
    drop = volts(_INNER_DROP, _INNER_DROP, _INNER_DROP)
    grain = usual(0.06, 0.06, 0.06, "V/dec")
    held = through(lambda v: v - _INNER_DROP, "V", vz)
    held, leak = replace(held, at=vz.at), part.quantity("ir")
    return tuple(
        Junction(end, "*m", drop, grain, leak, held, slope, "varistor") for end in "12"
    )


def _breakdown(quantity: Quantity, tolerance: float, source: str) -> Parameter:
    return Parameter("vz", quantity, tolerance, source)


ZENER = Kind(
    "zener",
    "zener diode",
    ("ZD", "D", "DZ", "VZ", "VR", "CR", "V", "Z"),
    DIODE_PINS,
    Form.ONE_WAY,
    symbol="zener",
    cold=_zener,
    faults=_CLAMP_FAULTS,
    aliases=("zenerdiode",),
    value="vz",
    parameters=parameters(
        _breakdown(
            Quantity(None, 2.2, 200.0, "V", Origin.UNKNOWN, 5e-3),
            0.05,
            f"2V2 to 200 V at 5 mA, 5 %: {PRACTICE}",
        ),
        *_FORWARD,
    ),
    rate=3.0,
    raised=RAISED,
    roles=("gate clamp", "reference", "level shift", "supply", "rail splitter"),
    ratings=("W", "V", "A"),
)
TVS = Kind(
    "tvs",
    "transient suppressor",
    ("D", "TVS", "DZ", "CR", "V", "Z"),
    DIODE_PINS,
    Form.EITHER,
    symbol="suppressor",
    cold=_tvs,
    faults=_CLAMP_FAULTS,
    aliases=("suppressor", "transil"),
    value="vz",
    parameters=parameters(
        _breakdown(
            Quantity(None, 5.0, 600.0, "V", Origin.UNKNOWN, 1e-3),
            0.25,
            f"the number may be stand-off or breakdown volts: {PRACTICE}",
        ),
        *_FORWARD,
    ),
    rate=3.0,
    raised=RAISED,
    roles=("gate clamp", "rail clamp", "line protection"),
    ratings=("W", "V", "A"),
    variants=words({TWO_WAY: "tvs"}),
)
VARISTOR = Kind(
    "varistor",
    "varistor",
    ("RV", "MOV", "VDR", "V", "R", "VR", "Z"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="varistor",
    cold=_varistor,
    faults=failing(
        f"varistor: {PRACTICE}",
        shorted("1", "2", 0.60),
        opened("1", 0.20),
        drifted("vz", 0.8, 0.20),
    ),
    aliases=("mov", "vdr"),
    value="vz",
    parameters=parameters(
        _breakdown(
            Quantity(None, 8.0, 1800.0, "V", Origin.UNKNOWN, 1e-3),
            0.1,
            "varistor voltage at 1 mA, 10 % (IEC 61051, from memory)",
        ),
        Parameter("ir", usual(1e-10, 1e-12, 1e-9, "A"), 0.9, PRACTICE),
    ),
    rate=3.0,
    rate_source=f"as a zener or TVS: {PRACTICE}",
    raised=RAISED,
    roles=("surge protection", "contact protection"),
    ratings=("V", "W", "J"),
)

CLAMPS = (ZENER, TVS, VARISTOR)
