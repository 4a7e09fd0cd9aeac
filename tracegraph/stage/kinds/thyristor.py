"""Thyristor and triac: blocked until fired, their gate a few ohms from one end."""

from tracegraph.quantity import Origin, exact, usual
from tracegraph.stage.branch import Branch, Conductor, Junction
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import (
    HANDBOOK,
    drifted,
    failing,
    leaky,
    opened,
    shorted,
)
from tracegraph.stage.kinds.junctions import forward, junction, tested, volts
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters
from tracegraph.stage.part import Part

_GATE = forward(
    volts(0.70, 0.60, 0.80),
    usual(0.07, 0.058, 0.10, "V/dec"),
    usual(1e-9, 1e-12, 1e-8, "A"),
)
_ON = Parameter(
    "on", exact(0.0, "", Origin.USUAL), 0.0, "blocked unless a state fires it"
)
_ON_STATE = Parameter(
    "vt", usual(0.75, 0.65, 0.85, "V", at=1e-3), 0.1, f"on-state drop: {PRACTICE}"
)


def _fired(part: Part) -> bool:
    return (part.quantity("on").typical or 0.0) >= 0.5


def _scr_cold(part: Part) -> tuple[Branch, ...]:
    """Return the gate's shorted-emitter resistance beside its junction.

    Anode to anything is open both ways: the forward-blocking junction holds.
    """
    return (
        Conductor("g", "k", part.quantity("rgk")),
        junction(part, "g", "k", "thyristor gate"),
    )


def _scr_live(part: Part) -> tuple[Branch, ...]:
    fired = (_on_path(part, "a", "k"),) if _fired(part) else ()
    return (*_scr_cold(part), *fired)


def _triac_cold(part: Part) -> tuple[Branch, ...]:
    return (
        Conductor("g", "mt1", part.quantity("rg")),
        junction(part, "g", "mt1", "thyristor gate"),
        junction(part, "mt1", "g", "thyristor gate"),
    )


def _triac_live(part: Part) -> tuple[Branch, ...]:
    if not _fired(part):
        return _triac_cold(part)
    paths = (_on_path(part, "mt2", "mt1"), _on_path(part, "mt1", "mt2"))
    return (*_triac_cold(part), *paths)


def _on_path(part: Part, anode: str, cathode: str) -> Junction:
    slope, leak = part.quantity("slope"), part.quantity("ir")
    return Junction(anode, cathode, tested(part, "vt"), slope, leak, family="thyristor")


SCR = Kind(
    "scr",
    "thyristor (SCR)",
    ("Q", "SCR", "TH", "D", "T", "V", "VS", "CR"),
    (
        PinSpec("g", ("gate",), "gate"),
        PinSpec("a", ("anode",), "anode"),
        PinSpec("k", ("cathode",), "cathode"),
    ),
    Form.PINS,
    symbol="scr",
    cold=_scr_cold,
    live=_scr_live,
    faults=failing(
        f"thyristor: {HANDBOOK} (short 98 %, open 2 %); split over the terminals",
        shorted("a", "k", 0.68),
        leaky("a", "k", 0.15),
        shorted("g", "k", 0.15),
        opened("g", 0.01),
        opened("a", 0.01),
        swap=("a", "k"),
    ),
    aliases=("thyristor",),
    parameters=parameters(
        Parameter(
            "rgk",
            usual(15.0, 5.0, 50.0, "ohm"),
            0.5,
            f"5-20 ohm both ways, more in small ones; write 1k for a sensitive type: {PRACTICE}",
        ),
        *_GATE,
        _ON_STATE,
        _ON,
    ),
    rate=10.0,
    raised=RAISED,
    roles=("crowbar", "controlled rectifier", "in-rush switch"),
    ratings=("V", "A"),
)
TRIAC = Kind(
    "triac",
    "triac",
    ("Q", "TR", "TRI", "T", "V", "D"),
    (
        PinSpec("mt1", ("a1", "t1", "1"), "main terminal 1"),
        PinSpec("mt2", ("a2", "t2", "2"), "main terminal 2"),
        PinSpec("g", ("gate", "3"), "gate"),
    ),
    Form.PINS,
    symbol="triac",
    cold=_triac_cold,
    live=_triac_live,
    faults=failing(
        f"shares of a thyristor: {PRACTICE}",
        shorted("mt1", "mt2", 0.68),
        leaky("mt1", "mt2", 0.15),
        shorted("g", "mt1", 0.15),
        drifted("rg", 3.0, 0.01),
        opened("g", 0.01),
        swap=("mt1", "mt2"),
    ),
    parameters=parameters(
        Parameter(
            "rg",
            usual(50.0, 10.0, 300.0, "ohm"),
            0.5,
            f"gate to MT1, both ways: {PRACTICE}",
        ),
        *_GATE,
        _ON_STATE,
        _ON,
    ),
    rate=10.0,
    raised=RAISED,
    roles=("mains switch", "phase control"),
    ratings=("V", "A"),
)

THYRISTORS = (SCR, TRIAC)
