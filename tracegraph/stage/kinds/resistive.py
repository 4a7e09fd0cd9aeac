"""Resistors: plain, sense, fusible, element of an array, trimmer."""

from tracegraph.quantity import unknown, usual
from tracegraph.stage.branch import Branch, Conductor
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import HANDBOOK, drifted, failing, opened, shorted
from tracegraph.stage.kinds.law import through
from tracegraph.stage.kinds.table import PRACTICE, TWO_PINS, parameters, raised, words
from tracegraph.stage.part import Part

_SERIES = f"from 0R1 to 22 M in the value series; 5 % where none is written: {PRACTICE}"
_FAULTS = failing(
    f"film resistor: {HANDBOOK}",
    opened("1", 0.59),
    drifted("r", 2.0, 0.36),
    shorted("1", "2", 0.05),
)
_TRIMMER_FAULTS = failing(
    f"variable resistor: {HANDBOOK}",
    opened("2", 0.53),
    drifted("set", 1.3, 0.40, "erratic"),
    shorted("1", "2", 0.07),
)


def _one_path(part: Part) -> tuple[Branch, ...]:
    return (Conductor("1", "2", part.quantity("r")),)


def _two_paths(part: Part) -> tuple[Branch, ...]:
    whole, share = part.quantity("r"), part.quantity("set")
    return (
        Conductor("1", "2", through(lambda r, s: r * s, "ohm", whole, share)),
        Conductor("2", "3", through(lambda r, s: r * (1 - s), "ohm", whole, share)),
    )


RESISTOR = Kind(
    "resistor",
    "resistor",
    ("R",),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="resistor",
    cold=_one_path,
    faults=_FAULTS,
    aliases=("res",),
    value="r",
    parameters=parameters(Parameter("r", unknown("ohm", 0.1, 22e6), 0.05, _SERIES)),
    rate=0.5,
    raised=raised({"over 100k": 6.0, "fusible": 6.0, "sense": 6.0}),
    roles=(
        "pull-up",
        "pull-down",
        "gate resistor",
        "gate bleeder",
        "base resistor",
        "divider",
        "bleeder",
        "snubber",
        "start-up",
        "dropper",
        "load",
    ),
    ratings=("W", "V"),
    variants=words({"fusible": "fusible", "shunt": "shunt"}),
)
SHUNT = Kind(
    "shunt",
    "sense resistor",
    ("R", "RS", "RSH"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="shunt",
    cold=_one_path,
    faults=_FAULTS,
    aliases=("sense",),
    value="r",
    parameters=parameters(
        Parameter("r", unknown("ohm", 1e-4, 10.0), 0.02, f"0.1 mohm to 10R: {PRACTICE}")
    ),
    rate=3.0,
    raised=raised({}),
    roles=("current sense", "over-current trip"),
    ratings=("W",),
)
FUSIBLE = Kind(
    "fusible",
    "fusible resistor",
    ("R", "RF", "FR"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="fusible",
    cold=_one_path,
    faults=_FAULTS,
    value="r",
    parameters=parameters(
        Parameter("r", unknown("ohm", 0.1, 1e3), 0.05, f"0R1 to 1 k: {PRACTICE}")
    ),
    rate=3.0,
    raised=raised({}),
    roles=("in-rush limiter", "supply feed", "safety"),
    ratings=("W",),
)
ELEMENT = Kind(
    "array",
    "resistor array element",
    ("RN", "RA", "RP"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="resistor",
    cold=_one_path,
    faults=_FAULTS,
    aliases=("network", "element"),
    value="r",
    parameters=parameters(Parameter("r", unknown("ohm", 10.0, 1e6), 0.05, _SERIES)),
    rate=0.5,
    raised=raised({}),
    roles=("pull-up", "pull-down", "series damping", "divider"),
    ratings=("W", "V"),
)
TRIMMER = Kind(
    "trimmer",
    "trimmer",
    ("R", "RV", "VR", "P", "RT"),
    (
        PinSpec("1", ("cw",), "end", "1"),
        PinSpec("2", ("w", "wiper", "s"), "wiper", "2"),
        PinSpec("3", ("ccw",), "end", "3"),
    ),
    Form.PINS,
    symbol="trimmer",
    cold=_two_paths,
    faults=_TRIMMER_FAULTS,
    aliases=("pot", "potentiometer", "preset"),
    value="r",
    parameters=parameters(
        Parameter("r", unknown("ohm", 10.0, 5e6), 0.2, f"10R to 5 M, 20 %: {PRACTICE}"),
        Parameter("set", usual(0.5, 0.0, 1.0, ""), 0.1, "the wiper may stand anywhere"),
    ),
    rate=3.0,
    raised=raised({}),
    roles=("level set", "offset", "time set"),
    ratings=("W",),
)

RESISTIVE = (RESISTOR, SHUNT, FUSIBLE, ELEMENT, TRIMMER)
