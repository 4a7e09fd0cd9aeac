"""Thermistors: their resistance is the one at 25 degrees until a state says warmer."""

from math import exp

from tracegraph.quantity import Quantity, unknown, usual
from tracegraph.stage.branch import Branch, Conductor
from tracegraph.stage.kind import Form, Kind, Parameter
from tracegraph.stage.kinds.failures import drifted, failing, opened, shorted
from tracegraph.stage.kinds.law import through
from tracegraph.stage.kinds.table import PRACTICE, TWO_PINS, parameters, raised
from tracegraph.stage.part import Part

_ZERO_CELSIUS = 273.15
_REFERENCE = 298.15
_AMBIENT = Parameter("temp", usual(25.0, 15.0, 35.0, "C"), 0.0, "bench ambient 15-35")
_FAULTS = failing(
    f"thermistor: {PRACTICE}",
    opened("1", 0.6),
    drifted("r", 1.5, 0.25),
    shorted("1", "2", 0.15),
)


def beta_law(r: float, b: float, celsius: float) -> float:
    """Return ohms at a temperature from ohms at 25 degrees and B (IEC 60539-1).

    >>> round(beta_law(10_000, 3435, 85))
    1451
    """
    return r * exp(b * (1 / (celsius + _ZERO_CELSIUS) - 1 / _REFERENCE))


def _falling(part: Part) -> tuple[Branch, ...]:
    ohms = through(
        beta_law, "ohm", part.quantity("r"), part.quantity("b"), part.quantity("temp")
    )
    return (Conductor("1", "2", ohms),)


def _rising(part: Part) -> tuple[Branch, ...]:
    return (Conductor("1", "2", _switching(part)),)


def _switching(part: Part) -> Quantity:
    """Return a PTC's ohms: nearly flat until its reference temperature, then more.

    IEC 60738 puts the reference temperature where the resistance has doubled; how
    far it climbs beyond that is not known without its curve.
    """
    r, temp, reference = (part.quantity(s) for s in ("r", "temp", "tref"))
    hot = temp.typical is not None and temp.typical >= (reference.typical or 120.0)
    return unknown("ohm", 2 * r.low, 100e6) if hot else r


NTC = Kind(
    "ntc",
    "NTC thermistor",
    ("NTC", "RT", "TH", "R", "RTH"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="ntc",
    cold=_falling,
    faults=_FAULTS,
    aliases=("thermistor",),
    value="r",
    parameters=parameters(
        Parameter("r", unknown("ohm", 1.0, 1e6), 0.1, f"1R to 1 M, 10 %: {PRACTICE}"),
        Parameter("b", usual(3600.0, 2800.0, 4500.0, "K"), 0.02, PRACTICE),
        _AMBIENT,
    ),
    rate=2.0,
    raised=raised({}),
    roles=("temperature sensor", "in-rush limiter"),
    ratings=("A",),
)
PTC = Kind(
    "ptc",
    "PTC thermistor",
    ("PTC", "RT", "TH", "R", "F"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="ptc",
    cold=_rising,
    faults=_FAULTS,
    value="r",
    parameters=parameters(
        Parameter("r", unknown("ohm", 0.01, 10e3), 0.3, f"10 m to 10 k: {PRACTICE}"),
        Parameter("tref", usual(120.0, 60.0, 180.0, "C"), 0.05, PRACTICE),
        _AMBIENT,
    ),
    rate=2.0,
    raised=raised({}),
    roles=("resettable fuse", "motor protection", "in-rush limiter"),
    ratings=("A", "V"),
)

THERMAL = (NTC, PTC)
