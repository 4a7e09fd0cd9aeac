"""Field-effect transistors with their body diode."""

from tracegraph.quantity import Quantity, usual
from tracegraph.stage.branch import Branch, Channel, Junction
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import HANDBOOK, failing, leaky, opened, shorted
from tracegraph.stage.kinds.gate_charge import gate_stores
from tracegraph.stage.kinds.junctions import DROP_TOLERANCE, tested, volts
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters, words
from tracegraph.stage.part import Part

_PINS = (
    PinSpec("g", ("gate",), "gate"),
    PinSpec("d", ("drain",), "drain"),
    PinSpec("s", ("source",), "source"),
)
FET_SOURCE = (
    f"FET, short 51, output low 22, change 17, open 5, output high 5 %: {HANDBOOK}; "
    f"split over the terminals: {PRACTICE}"
)
_FAULTS = failing(
    FET_SOURCE,
    shorted("d", "s", 0.31),
    shorted("g", "s", 0.10),
    shorted("d", "g", 0.10),
    leaky("d", "s", 0.22, ohms=100.0),
    leaky("g", "s", 0.17),
    opened("d", 0.025),
    opened("s", 0.025),
    opened("g", 0.05),
    swap=("d", "s"),
)


def _cold(part: Part) -> tuple[Branch, ...]:
    polarity = -1 if part.kind.word == "pfet" else 1
    anode, cathode = ("s", "d") if polarity > 0 else ("d", "s")
    body = Junction(
        anode,
        cathode,
        tested(part, "vsd"),
        part.quantity("slope"),
        part.quantity("idss"),
        family="silicon carbide body" if part.kind.word == "sicfet" else "body",
    )
    channel = Channel(
        "g", "d", "s", polarity, part.quantity("vgsth"), tested(part, "rdson")
    )
    return (
        channel,
        body,
        *gate_stores(part, "s", "d", polarity),
    )


def _parameters(
    body: Quantity, threshold: Quantity, on: Quantity
) -> tuple[Parameter, ...]:
    return (
        Parameter("vgsth", threshold, 0.25, f"a magnitude: {PRACTICE}"),
        Parameter("rdson", on, 0.3, PRACTICE),
        Parameter("vsd", body, DROP_TOLERANCE, f"body diode at 1 mA: {PRACTICE}"),
        Parameter("slope", usual(0.065, 0.058, 0.08, "V/dec"), 0.05, PRACTICE),
        Parameter("idss", usual(1e-9, 1e-12, 1e-8, "A"), 0.9, PRACTICE),
        Parameter("ciss", usual(1.5e-9, 0.5e-9, 8e-9, "F"), 0.2, f"1-3 nF: {PRACTICE}"),
        Parameter("crss", usual(40e-12, 5e-12, 300e-12, "F"), 0.4, PRACTICE),
        Parameter("qg", usual(40e-9, 5e-9, 200e-9, "C"), 0.2, PRACTICE),
    )


def _kind(
    word: str,
    title: str,
    aliases: tuple[str, ...],
    body: Quantity,
    threshold: Quantity,
    on: Quantity,
) -> Kind:
    return Kind(
        word,
        title,
        ("Q", "T", "TR", "M", "VT", "V"),
        _PINS,
        Form.PINS,
        symbol="pfet" if word == "pfet" else "nfet",
        cold=_cold,
        faults=_FAULTS,
        aliases=aliases,
        parameters=parameters(*_parameters(body, threshold, on)),
        rate=10.0,
        raised=RAISED,
        roles=("power switch", "low side", "high side", "reverse protection", "brake"),
        ratings=("V", "A", "W"),
        variants=words(
            {"dual": word} if word == "pfet" else {"dual": word, "sic": "sicfet"}
        ),
    )


FETS = (
    _kind(
        "nfet",
        "N-channel MOSFET",
        ("nmos", "nmosfet", "n-fet", "n-mosfet"),
        volts(0.48, 0.40, 0.60),
        usual(3.0, 1.5, 4.5, "V"),
        usual(0.1, 0.005, 2.0, "ohm", at=10.0),
    ),
    _kind(
        "pfet",
        "P-channel MOSFET",
        ("pmos", "pmosfet", "p-fet", "p-mosfet"),
        volts(0.50, 0.40, 0.62),
        usual(3.0, 1.0, 4.5, "V"),
        usual(0.15, 0.02, 2.0, "ohm", at=10.0),
    ),
    _kind(
        "sicfet",
        "silicon carbide MOSFET",
        ("sicmos", "sic-fet"),
        volts(1.80, 1.20, 2.40),
        usual(3.0, 1.8, 4.5, "V"),
        usual(0.08, 0.015, 0.5, "ohm", at=18.0),
    ),
)
