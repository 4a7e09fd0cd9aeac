"""Comparator, op amp, Hall sensor."""

from tracegraph.quantity import usual
from tracegraph.stage.branch import Branch, Follower
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.chip import dead, pin_junctions, wired
from tracegraph.stage.kinds.failures import Way, failing, opened, shorted
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters, words
from tracegraph.stage.part import Part

PUSH_PULL = "push-pull"

_INPUTS = ("in+", "in-")
_COMPARATOR_GAIN = 2000.0
_OPAMP_GAIN = 5000.0
_PINS = (
    PinSpec("out", ("o", "output", "7"), "output", "1"),
    PinSpec("in-", ("-", "inv", "n", "in_n", "6"), "inverting input", "2"),
    PinSpec("in+", ("+", "noninv", "p", "in_p", "5"), "non-inverting input", "3"),
    PinSpec("gnd", ("vee", "v-", "vss", "com", "vs-"), "ground", "4"),
    PinSpec("vcc", ("v+", "vdd", "vs+", "supply"), "supply", "8"),
)
"""Pins of the usual dual in eight pins; the second unit's numbers are aliases."""

_CHIP = f"driver or linear IC: {PRACTICE}"


def chip_ways(*pins: str) -> tuple[Way, ...]:
    """Return how a linear chip fails: its output, its supply, its inputs."""
    return (
        dead("gnd", "out", 0.30),
        shorted("out", "vcc", 0.15),
        shorted("vcc", "gnd", 0.15),
        opened("out", 0.20),
        *(dead("gnd", pin, 0.20 / len(pins)) for pin in pins),
    )


_HALL_WAYS = (
    dead("gnd", "out", 0.40),
    opened("out", 0.30),
    shorted("out", "vcc", 0.10),
    shorted("vcc", "gnd", 0.20),
)


def _comparator_cold(part: Part) -> tuple[Branch, ...]:
    if PUSH_PULL in part.variant:
        return _opamp_cold(part)
    return pin_junctions(part, "gnd", "vcc", _INPUTS, drains=("out",))


def _opamp_cold(part: Part) -> tuple[Branch, ...]:
    return pin_junctions(part, "gnd", "vcc", (*_INPUTS, "out"))


def _comparator_live(part: Part) -> tuple[Branch, ...]:
    """Return the output pulled down while in- stands over in+."""
    both = PUSH_PULL in part.variant
    output = _output(part, _COMPARATOR_GAIN)
    open_collector = output._replace(high="out", pulls="down")
    return (*_comparator_cold(part), *wired(part, output if both else open_collector))


def _opamp_live(part: Part) -> tuple[Branch, ...]:
    """Return an output that swings to both supplies; a real one stops short."""
    return (*_opamp_cold(part), *wired(part, _output(part, _OPAMP_GAIN)))


def _output(part: Part, gain: float) -> Follower:
    return Follower(
        "out",
        "gnd",
        "vcc",
        "in+",
        "in-",
        threshold=part.quantity("vio"),
        gain=gain,
        ohms=part.quantity("rout"),
    )


def _hall_cold(part: Part) -> tuple[Branch, ...]:
    return pin_junctions(part, "gnd", "vcc", (), drains=("out",))


def _offset(high: float) -> Parameter:
    return Parameter("vio", usual(0.0, -high, high, "V"), 0.0, f"offset: {PRACTICE}")


COMPARATOR = Kind(
    "comparator",
    "comparator",
    ("U", "IC", "N", "A", "DA"),
    _PINS,
    Form.PINS,
    symbol="comparator",
    cold=_comparator_cold,
    live=_comparator_live,
    faults=failing(_CHIP, *chip_ways(*_INPUTS)),
    parameters=parameters(
        _offset(5e-3),
        Parameter("rout", usual(60.0, 20.0, 150.0, "ohm"), 0.5, PRACTICE),
    ),
    rate=4.0,
    raised=RAISED,
    roles=("over-current trip", "over-voltage trip", "zero-cross", "oscillator"),
    variants=words({PUSH_PULL: "comparator"}),
)
OPAMP = Kind(
    "opamp",
    "operational amplifier",
    ("U", "IC", "N", "A", "DA"),
    _PINS,
    Form.PINS,
    symbol="opamp",
    cold=_opamp_cold,
    live=_opamp_live,
    faults=failing(_CHIP, *chip_ways(*_INPUTS)),
    aliases=("op-amp", "amplifier"),
    parameters=parameters(
        _offset(5e-3),
        Parameter("rout", usual(50.0, 10.0, 200.0, "ohm"), 0.5, PRACTICE),
    ),
    rate=4.0,
    raised=RAISED,
    roles=("current amplifier", "error amplifier", "buffer", "filter"),
)
HALL = Kind(
    "hall",
    "Hall sensor",
    ("U", "IC", "HS", "B", "H"),
    (
        PinSpec("vcc", ("v+", "vdd", "supply"), "supply", "1"),
        PinSpec("gnd", ("com", "vss"), "ground", "2"),
        PinSpec("out", ("o", "output"), "output", "3"),
    ),
    Form.PINS,
    symbol="hall",
    cold=_hall_cold,
    faults=failing(f"Hall sensor: {PRACTICE}", *_HALL_WAYS),
    aliases=("hallsensor",),
    rate=4.0,
    rate_source=f"as a driver IC: {PRACTICE}",
    raised=RAISED,
    roles=("rotor position", "current sense", "tachometer"),
)

ANALOG = (COMPARATOR, OPAMP, HALL)
