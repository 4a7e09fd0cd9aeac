"""Coils, transformer windings and current transformers: a wire with inductance."""

from tracegraph.quantity import Quantity, unknown, usual
from tracegraph.stage.branch import Branch, Coil, Conductor
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import HANDBOOK, drifted, failing, opened, shorted
from tracegraph.stage.kinds.table import (
    PRACTICE,
    RAISED,
    TWO_PINS,
    parameters,
)
from tracegraph.stage.part import Part

_TRANSFORMER = (
    f"transformer, open 42, short 42, change 16 %: {HANDBOOK}; a short is one of turns"
)
_COIL_FAULTS = failing(
    f"coil, short 42, open 42, change 16 %: {HANDBOOK}",
    opened("1", 0.42),
    shorted("1", "2", 0.42),
    drifted("l", 0.7, 0.16),
)
_WINDING_FAULTS = failing(
    _TRANSFORMER,
    opened("1", 0.42),
    drifted("l", 0.1, 0.42, "shorted turns"),
    drifted("rdc", 1.3, 0.16),
)


def _wire(part: Part) -> tuple[Branch, ...]:
    return (
        Conductor("1", "2", part.quantity("rdc")),
        Coil("1", "2", part.quantity("l")),
    )


def _two_wires(part: Part) -> tuple[Branch, ...]:
    return (
        Conductor("p1", "p2", part.quantity("rpri")),
        Conductor("s1", "s2", part.quantity("rdc")),
        Coil("s1", "s2", part.quantity("l")),
    )


def _resistance(quantity: Quantity, why: str, symbol: str = "rdc") -> Parameter:
    return Parameter(symbol, quantity, 0.2, f"{why}: {PRACTICE}")


INDUCTOR = Kind(
    "inductor",
    "inductor",
    ("L",),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="inductor",
    cold=_wire,
    faults=_COIL_FAULTS,
    aliases=("choke",),
    value="l",
    parameters=parameters(
        Parameter("l", usual(100e-6, 1e-8, 1.0, "H"), 0.2, f"any choke: {PRACTICE}"),
        _resistance(usual(0.2, 0.005, 5.0, "ohm"), "wire of a power choke"),
    ),
    rate=0.5,
    raised=RAISED,
    roles=("boost choke", "filter", "output choke", "common-mode choke"),
    ratings=("A",),
)
FERRITE = Kind(
    "ferrite",
    "ferrite bead",
    ("FB", "L", "BD"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="ferrite",
    cold=_wire,
    faults=_COIL_FAULTS,
    aliases=("bead",),
    value="z",
    parameters=parameters(
        Parameter("z", unknown("ohm", 5.0, 3e3), 0.25, "ohms at 100 MHz, not at DC"),
        Parameter("l", usual(1e-6, 1e-8, 10e-6, "H"), 0.3, PRACTICE),
        _resistance(usual(0.1, 0.005, 1.0, "ohm"), "bead at DC"),
    ),
    rate=0.5,
    raised=RAISED,
    roles=("interference filter", "gate damping"),
    ratings=("A",),
)
WINDING = Kind(
    "winding",
    "transformer winding",
    ("T", "TR", "L"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="winding",
    cold=_wire,
    faults=_WINDING_FAULTS,
    aliases=("transformer", "trafo"),
    value="rdc",
    parameters=parameters(
        _resistance(usual(0.5, 0.02, 20.0, "ohm"), "0.1-5 ohm power, more for aux"),
        Parameter("l", usual(1e-3, 1e-6, 1.0, "H"), 0.3, PRACTICE),
        Parameter("turns", unknown("", 1.0, 5e3), 0.0, "counted or unknown"),
    ),
    rate=0.5,
    raised=RAISED,
    roles=("primary", "secondary", "auxiliary", "gate transformer", "reset"),
    ratings=("V", "A"),
)
CURRENT_TRANSFORMER = Kind(
    "currenttransformer",
    "current transformer",
    ("CT", "T", "TR"),
    (
        PinSpec("p1", ("1",), "primary start"),
        PinSpec("p2", ("2",), "primary end"),
        PinSpec("s1", ("3",), "secondary start"),
        PinSpec("s2", ("4",), "secondary end"),
    ),
    Form.PINS,
    symbol="currenttransformer",
    cold=_two_wires,
    faults=failing(
        _TRANSFORMER,
        opened("s1", 0.42),
        drifted("l", 0.1, 0.42, "shorted turns"),
        drifted("rdc", 1.3, 0.16),
    ),
    aliases=("ct",),
    value="turns",
    parameters=parameters(
        _resistance(usual(0.001, 0.0001, 0.02, "ohm"), "one turn of wire", "rpri"),
        _resistance(usual(5.0, 0.2, 200.0, "ohm"), "50 to 2000 turns"),
        Parameter("l", usual(20e-3, 1e-3, 10.0, "H"), 0.3, PRACTICE),
        Parameter("turns", unknown("", 10.0, 5e3), 0.0, "secondary over primary"),
    ),
    rate=0.5,
    raised=RAISED,
    roles=("current sense",),
    ratings=("A",),
)

WINDINGS = (INDUCTOR, FERRITE, WINDING, CURRENT_TRANSFORMER)
