"""Parts that come in a case of three legs and stand in no section: for `legs` alone.

Their figures are common practice, no source, unless named.
"""

from tracegraph.quantity import exact, usual
from tracegraph.stage.branch import Branch, Conductor
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import failing, leaky, opened, shorted
from tracegraph.stage.kinds.junctions import forward, junction, volts
from tracegraph.stage.kinds.table import PRACTICE, parameters
from tracegraph.stage.kinds.transistor import FAULTS, PARAMETERS, PINS, transistor
from tracegraph.stage.part import Part

_SLOPE = usual(0.09, 0.058, 0.12, "V/dec")
_LEAK = usual(1e-9, 1e-12, 1e-8, "A")
_SILICON = forward(volts(0.56, 0.40, 0.72), _SLOPE, _LEAK)
_METAL = forward(
    volts(0.25, 0.15, 0.35),
    usual(0.065, 0.058, 0.08, "V/dec"),
    usual(1e-5, 1e-6, 1e-4, "A"),
)
_GATE = forward(volts(0.72, 0.62, 0.82), usual(0.062, 0.058, 0.075, "V/dec"), _LEAK)
_DAMPER = forward(volts(0.50, 0.42, 0.60), _SLOPE, _LEAK)
_DIODE_FAULTS = failing(
    f"of a diode: {PRACTICE}", shorted("a", "k", 0.60), leaky("a", "k", 0.40)
)
_JFET_FAULTS = failing(
    f"of a FET: {PRACTICE}",
    shorted("d", "s", 0.3),
    shorted("g", "s", 0.2),
    leaky("g", "s", 0.3),
    opened("g", 0.2),
)
_ANODE = PinSpec("a", (), "anode")
_CATHODE = PinSpec("k", (), "cathode")
_JFET_PINS = (
    PinSpec("g", (), "gate"),
    PinSpec("d", (), "drain or source"),
    PinSpec("s", (), "drain or source"),
)
_CHANNEL_OHMS = Parameter(
    "rds", usual(200.0, 30.0, 700.0, "ohm"), 0.5, f"at no gate volts: {PRACTICE}"
)


def _wire(a: str, b: str) -> Conductor:
    return Conductor(a, b, exact(0.01, "ohm"))


def _lone(part: Part) -> tuple[Branch, ...]:
    return (junction(part, "a", "k", _family(part)),)


def _both_anodes(part: Part) -> tuple[Branch, ...]:
    return (junction(part, "a", "k", _family(part)), _wire("a", "a2"))


def _both_cathodes(part: Part) -> tuple[Branch, ...]:
    return (junction(part, "a", "k", _family(part)), _wire("k", "k2"))


def _family(part: Part) -> str:
    return "schottky" if "schottky" in part.kind.word else "silicon"


def _n_channel(part: Part) -> tuple[Branch, ...]:
    gates = (junction(part, "g", end, "jfet") for end in ("d", "s"))
    return (*gates, Conductor("d", "s", part.quantity("rds")))


def _p_channel(part: Part) -> tuple[Branch, ...]:
    gates = (junction(part, end, "g", "jfet") for end in ("d", "s"))
    return (*gates, Conductor("d", "s", part.quantity("rds")))


def _line(part: Part) -> tuple[Branch, ...]:
    return (
        transistor(part, "b", 1),
        Conductor("b", "e", part.quantity("rbe")),
        junction(part, "e", "c", "body"),
    )


def _diode(
    word: str, title: str, pins: tuple[PinSpec, ...], values: tuple[Parameter, ...]
) -> Kind:
    cold = {"a2": _both_anodes, "k2": _both_cathodes}.get(pins[-1].name, _lone)
    return Kind(
        word,
        title,
        ("D",),
        pins,
        Form.PINS,
        cold=cold,
        faults=_DIODE_FAULTS,
        parameters=parameters(*values),
    )


_LONE_PINS = (_ANODE, _CATHODE, PinSpec("nc", (), "not connected"))
LONE = _diode("lone-diode", "single diode", _LONE_PINS, _SILICON)
LONE_METAL = _diode("lone-schottky", "single Schottky diode", _LONE_PINS, _METAL)
TWO_ANODES = _diode(
    "two-anodes",
    "single diode, two legs joined",
    (_ANODE, _CATHODE, PinSpec("a2", (), "anode")),
    _SILICON,
)
TWO_CATHODES = _diode(
    "two-cathodes",
    "single diode, two legs joined",
    (_ANODE, _CATHODE, PinSpec("k2", (), "cathode")),
    _SILICON,
)
NJFET = Kind(
    "njfet",
    "N-channel junction FET",
    ("Q",),
    _JFET_PINS,
    Form.PINS,
    cold=_n_channel,
    faults=_JFET_FAULTS,
    parameters=parameters(*_GATE, _CHANNEL_OHMS),
)
PJFET = Kind(
    "pjfet",
    "P-channel junction FET",
    ("Q",),
    _JFET_PINS,
    Form.PINS,
    cold=_p_channel,
    faults=_JFET_FAULTS,
    parameters=parameters(*_GATE, _CHANNEL_OHMS),
)
LINE = Kind(
    "line-transistor",
    "NPN line transistor with damper diode and base-emitter resistor",
    ("Q",),
    PINS,
    Form.PINS,
    cold=_line,
    faults=FAULTS,
    parameters=parameters(
        *(one for one in PARAMETERS if one.symbol not in {"slope", "hfe"}),
        Parameter("hfe", usual(15.0, 6.0, 40.0, ""), 0.5, PRACTICE),
        Parameter("rbe", usual(35.0, 20.0, 60.0, "ohm"), 0.3, f"20-50 ohm: {PRACTICE}"),
        *_DAMPER,
    ),
)
SHORTED = Kind(
    "shorted",
    "part shorted between all three legs",
    ("Q",),
    tuple(PinSpec(name, (), "shorted") for name in "abc"),
    Form.PINS,
    cold=lambda _: tuple(
        Conductor(a, b, usual(0.1, 0.01, 0.5, "ohm")) for a, b in ("ab", "bc")
    ),
)
NOTHING = Kind(
    "nothing",
    "part that is open everywhere",
    ("Q",),
    tuple(PinSpec(name, (), "open") for name in "abc"),
    Form.PINS,
)
