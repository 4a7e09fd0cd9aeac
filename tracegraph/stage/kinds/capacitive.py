"""Capacitors and the crystal: no DC path, a store of charge."""

from tracegraph.quantity import Quantity, unknown, usual
from tracegraph.stage.branch import Branch, Store
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import (
    HANDBOOK,
    drifted,
    failing,
    opened,
    shorted,
)
from tracegraph.stage.kinds.table import (
    POLAR_PINS,
    PRACTICE,
    TWO_PINS,
    parameters,
    raised,
)
from tracegraph.stage.part import Part

_PINS = (TWO_PINS[0]._replace(aliases=("+",)), TWO_PINS[1]._replace(aliases=("-",)))
_BULK = ("bulk", "smoothing", "bootstrap", "decoupling", "timing")


USUAL_SECONDS = 30e-6


def _store(part: Part) -> tuple[Branch, ...]:
    a, b = (spec.name for spec in part.kind.pins)
    farads = part.quantity("c")
    return (Store(a, b, farads, _series_ohms(part, farads)),)


def _series_ohms(part: Part, farads: Quantity) -> float:
    """Return the series resistance: as written, else the usual, less in a large one.

    A larger capacitor has more plate to lead the same current: ohms times farads stay
    at some 30 us (common practice, no source).
    """
    ohms = part.quantity("esr").typical or 0.0
    if "esr" in part.given or not farads.typical:
        return ohms
    return min(ohms, USUAL_SECONDS / farads.typical)


def _values(
    low: float, high: float, tolerance: float, esr: Quantity
) -> tuple[Parameter, ...]:
    return (
        Parameter("c", unknown("F", low, high), tolerance, f"usual range: {PRACTICE}"),
        Parameter("esr", esr, 0.5, PRACTICE),
    )


CAPACITOR = Kind(
    "capacitor",
    "capacitor",
    ("C", "CX", "CY"),
    _PINS,
    Form.EITHER,
    symbol="capacitor",
    cold=_store,
    faults=failing(
        f"ceramic capacitor: {HANDBOOK}",
        shorted("1", "2", 0.49),
        drifted("c", 0.5, 0.29, "less capacitance"),
        opened("1", 0.22),
    ),
    aliases=("cap", "ceramic", "film"),
    value="c",
    parameters=parameters(*_values(1e-12, 100e-6, 0.2, usual(0.02, 0.001, 0.5, "ohm"))),
    rate=1.0,
    raised=raised({}),
    roles=("decoupling", "snubber", "filter", "timing", "bootstrap", "DC block"),
    ratings=("V",),
)
ELECTROLYTIC = Kind(
    "electrolytic",
    "aluminium electrolytic capacitor",
    ("C", "EC", "CE"),
    POLAR_PINS,
    Form.ONE_WAY,
    symbol="polarised",
    cold=_store,
    faults=failing(
        f"aluminium electrolytic: {HANDBOOK} (leaked electrolyte is lost capacitance)",
        shorted("+", "-", 0.53),
        opened("+", 0.35),
        drifted("c", 0.2, 0.10, "dried out"),
        drifted("c", 0.6, 0.02, "less capacitance"),
        swap=("+", "-"),
    ),
    aliases=("elko", "elcap", "polar"),
    value="c",
    parameters=parameters(*_values(0.1e-6, 0.1, 0.2, usual(0.3, 0.02, 5.0, "ohm"))),
    rate=8.0,
    raised=raised({"bulged": 20.0}),
    roles=_BULK,
    ratings=("V",),
)
TANTALUM = Kind(
    "tantalum",
    "tantalum capacitor",
    ("C", "CT"),
    POLAR_PINS,
    Form.ONE_WAY,
    symbol="polarised",
    cold=_store,
    faults=failing(
        f"tantalum capacitor: {HANDBOOK}",
        shorted("+", "-", 0.57),
        opened("+", 0.32),
        drifted("c", 0.5, 0.11, "less capacitance"),
        swap=("+", "-"),
    ),
    aliases=("tant",),
    value="c",
    parameters=parameters(*_values(0.1e-6, 2.2e-3, 0.2, usual(0.5, 0.05, 5.0, "ohm"))),
    rate=3.0,
    raised=raised({}),
    roles=_BULK,
    ratings=("V",),
)
CRYSTAL = Kind(
    "crystal",
    "crystal",
    ("Y", "X", "XT", "XTAL", "Q"),
    (PinSpec("1", (), "end", "1"), PinSpec("2", (), "end", "2")),
    Form.TWO_WAY,
    symbol="crystal",
    cold=_store,
    faults=failing(
        f"quartz crystal, open 89, no oscillation 11 %: {HANDBOOK}",
        opened("1", 0.89),
        drifted("esr", 20.0, 0.11, "does not start"),
    ),
    aliases=("quartz", "resonator"),
    value="f",
    parameters=parameters(
        Parameter("c", usual(5e-12, 2e-12, 10e-12, "F"), 0.3, PRACTICE),
        Parameter("esr", usual(50.0, 10.0, 200.0, "ohm"), 0.5, PRACTICE),
        Parameter("f", unknown("Hz", 30e3, 100e6), 1e-4, PRACTICE),
    ),
    rate=1.0,
    raised=raised({}),
    roles=("clock",),
)

CAPACITIVE = (CAPACITOR, ELECTROLYTIC, TANTALUM, CRYSTAL)
