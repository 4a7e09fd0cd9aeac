"""Gate-driver and buffer chips: one output, or a half bridge with its bootstrap."""

from tracegraph.quantity import Origin, Quantity, exact, unknown, usual
from tracegraph.stage.branch import Branch, Follower
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.analog import chip_ways
from tracegraph.stage.kinds.chip import dead, guess, pin_junctions, wired
from tracegraph.stage.kinds.failures import failing, leaky, opened, shorted
from tracegraph.stage.kinds.law import through
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters, words
from tracegraph.stage.part import Part

INVERTING = "inverting"

_STEEP = 20.0
_DRIVER_IC = f"driver IC: {PRACTICE}"
_LOCKOUT = usual(8.5, 7.0, 10.0, "V")
_SHARED = (
    Parameter("vth", usual(1.6, 0.8, 2.4, "V"), 0.2, f"TTL-level input: {PRACTICE}"),
    Parameter("rout", usual(5.0, 0.5, 30.0, "ohm"), 0.5, PRACTICE),
    Parameter("dropout", exact(0.1, "V", Origin.USUAL), 0.5, PRACTICE),
    Parameter("ipk", usual(1.0, 0.1, 10.0, "A"), 0.3, f"peak output: {PRACTICE}"),
)
_PLAIN = parameters(
    *_SHARED,
    Parameter("uvlo", unknown("V", 2.0, 20.0), 0.1, "as its data sheet", optional=True),
)
_HALF_BRIDGE = parameters(
    *_SHARED, Parameter("uvlo", _LOCKOUT, 0.1, f"8-9 V for a 15 V type: {PRACTICE}")
)


def _output(part: Part, *pins: str) -> Follower:
    """Return an output that follows an input, low while its supply is too low.

    Args:
        part: The driver.
        pins: Output, its two supplies (low, high), the input, the input's ground.
    """
    out, low, high, control, ground = pins
    return Follower(
        out,
        low,
        high,
        control,
        ground,
        threshold=part.quantity("vth"),
        gain=_STEEP,
        ohms=part.quantity("rout"),
        dropout=part.quantity("dropout").typical or 0.0,
        lockout=lockout(part),
    )


def lockout(part: Part) -> Quantity | None:
    """Return the supply under which a driver holds its output low; None if it has none."""
    optional = part.kind.parameters["uvlo"].optional
    return part.given.get("uvlo") if optional else part.quantity("uvlo")


def _turned(output: Follower) -> Follower:
    """Return the output of an inverting driver."""
    under = through(lambda volts: -volts, "V", output.threshold)
    return output._replace(plus=output.minus, minus=output.plus, threshold=under)


def _single_cold(part: Part) -> tuple[Branch, ...]:
    return pin_junctions(part, "gnd", "vcc", ("in", "out"))


def _single_live(part: Part) -> tuple[Branch, ...]:
    output = _output(part, "out", "gnd", "vcc", "in", "gnd")
    inverting = INVERTING in part.variant
    return (*_single_cold(part), *wired(part, _turned(output) if inverting else output))


def _bridge_cold(part: Part) -> tuple[Branch, ...]:
    """Return the low side's pins, the floating side's, and the level shifter's."""
    well = (guess("com", "vb"),) if {"com", "vb"} <= part.pins.keys() else ()
    return (
        *pin_junctions(part, "com", "vcc", ("hin", "lin", "lo")),
        *pin_junctions(part, "vs", "vb", ("ho",)),
        *well,
    )


def _bridge_live(part: Part) -> tuple[Branch, ...]:
    low = _output(part, "lo", "com", "vcc", "lin", "com")
    high = _output(part, "ho", "vs", "vb", "hin", "com")
    return (*_bridge_cold(part), *wired(part, low, high))


DRIVER = Kind(
    "driver",
    "gate driver or buffer",
    ("U", "IC", "N", "DD"),
    (
        PinSpec("in", ("input", "a", "i"), "input"),
        PinSpec("out", ("output", "y", "o", "q"), "output"),
        PinSpec("gnd", ("com", "vss", "vee"), "ground"),
        PinSpec("vcc", ("vdd", "v+", "supply"), "supply"),
    ),
    Form.PINS,
    symbol="driver",
    cold=_single_cold,
    live=_single_live,
    faults=failing(_DRIVER_IC, *chip_ways("in")),
    aliases=("buffer", "gatedriver"),
    parameters=_PLAIN,
    rate=4.0,
    raised=RAISED,
    roles=("gate drive", "buffer", "logic"),
    ratings=("V", "A"),
    open_pins=True,
    variants=words({INVERTING: "driver"}),
)
BRIDGEDRIVER = Kind(
    "bridgedriver",
    "half-bridge driver",
    ("U", "IC", "N", "DD"),
    (
        PinSpec("vcc", ("vdd", "supply"), "supply", "1"),
        PinSpec("hin", ("in", "inh", "hi"), "high-side input", "2"),
        PinSpec("lin", ("sd", "inl", "li"), "low-side input", "3"),
        PinSpec("com", ("gnd", "vss"), "ground", "4"),
        PinSpec("lo", ("outl",), "low-side output", "5"),
        PinSpec("vs", ("hs", "sw"), "floating return", "6"),
        PinSpec("ho", ("outh",), "high-side output", "7"),
        PinSpec("vb", ("hb", "boot"), "floating supply", "8"),
    ),
    Form.PINS,
    symbol="box",
    cold=_bridge_cold,
    live=_bridge_live,
    faults=failing(
        _DRIVER_IC,
        dead("com", "lo", 0.20),
        dead("vs", "ho", 0.20),
        leaky("vb", "vs", 0.15, ohms=20.0),
        leaky("vcc", "com", 0.15, ohms=20.0),
        shorted("ho", "vb", 0.08),
        shorted("lo", "vcc", 0.08),
        opened("ho", 0.07),
        opened("lo", 0.07),
    ),
    aliases=("halfbridgedriver", "bootstrapdriver", "highsidedriver"),
    parameters=_HALF_BRIDGE,
    rate=4.0,
    raised=RAISED,
    roles=("half-bridge gate drive",),
    ratings=("V", "A"),
    open_pins=True,
)

DRIVERS = (DRIVER, BRIDGEDRIVER)
