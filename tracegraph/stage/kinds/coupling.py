"""Optocouplers: a light-emitting diode, and across the gap a transistor or a driver."""

from tracegraph.quantity import Origin, exact, unknown, usual
from tracegraph.stage.branch import Branch, Follower, Junction
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.chip import pin_junctions, wired
from tracegraph.stage.kinds.failures import (
    Way,
    drifted,
    failing,
    leaky,
    opened,
    shorted,
)
from tracegraph.stage.kinds.junctions import (
    IDEAL_SLOPE,
    forward,
    junction,
    tested,
    volts,
)
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters, words
from tracegraph.stage.kinds.transistor import PARAMETERS, transistor
from tracegraph.stage.part import Part

_LED = forward(
    volts(1.04, 0.95, 1.15),
    usual(0.115, 0.07, 0.14, "V/dec"),
    usual(1e-10, 1e-13, 1e-8, "A"),
    f"1.09 V at 3 mA, 1.13 V at 6.7 mA, 1.18 V at 14 mA measured: {PRACTICE}",
)
_LIT = usual(0.90, 0.85, 1.00, "V")
"""Volts across the diode at which about 0.1 mA flows: the middle of dark and lit."""
_STEEP = 50.0
_LED_PINS = (
    PinSpec("a", ("anode", "+", "led+"), "LED anode", "1"),
    PinSpec("k", ("cathode", "-", "led-"), "LED cathode", "2"),
)
_SOURCE = f"optocoupler: {PRACTICE}"


def _led(part: Part) -> Junction:
    return junction(part, "a", "k", "infrared led")


def _transistor_cold(part: Part) -> tuple[Branch, ...]:
    """Return the diode, and in the dark the transistor's junctions.

    With its base left open collector and emitter show nothing either way: one of
    the two junctions always blocks.
    """
    if "b" in part.pins:
        return (_led(part), transistor(part, "b", 1))
    drop, slope, leak = tested(part, "vbe"), IDEAL_SLOPE, part.quantity("icbo")
    collector = Junction("*b", "c", drop, slope, leak, family="npn")
    emitter = Junction("*b", "e", drop, slope, leak, tested(part, "vebo"))
    return (_led(part), collector, emitter._replace(family="npn"))


def _transistor_live(part: Part) -> tuple[Branch, ...]:
    """Return the diode, and the collector pulled to the emitter by the light.

    Without a base pin the transistor itself adds nothing: its base is in the dark.
    """
    pull = Follower(
        "c",
        "e",
        "c",
        "a",
        "k",
        threshold=_LIT,
        gain=_STEEP,
        ohms=usual(20.0, 5.0, 60.0, "ohm"),
        pulls="down",
        transfer=part.quantity("ctr"),
        control=tested(part, "vf"),
    )
    return (*(_transistor_cold(part) if "b" in part.pins else (_led(part),)), pull)


def _driver_cold(part: Part) -> tuple[Branch, ...]:
    return (_led(part), *pin_junctions(part, "vee", "vcc", ("out",)))


def _driver_live(part: Part) -> tuple[Branch, ...]:
    """Return the output, high while lit, and low while its supply is too low."""
    follow = Follower(
        "out",
        "vee",
        "vcc",
        "a",
        "k",
        threshold=_LIT,
        gain=_STEEP,
        ohms=part.quantity("rout"),
        dropout=part.quantity("dropout").typical or 0.0,
        control=tested(part, "vf"),
        lockout=part.given.get("uvlo"),
    )
    return (*_driver_cold(part), *wired(part, follow))


def _led_ways(share: float) -> tuple[Way, ...]:
    return (
        opened("a", 0.4 * share),
        shorted("a", "k", 0.2 * share),
        leaky("a", "k", 0.4 * share),
    )


OPTO = Kind(
    "opto",
    "optocoupler",
    ("U", "OK", "PC", "OC", "OP", "IC", "ISO", "PH", "N", "V"),
    (
        *_LED_PINS,
        PinSpec("e", ("emitter",), "emitter", "3"),
        PinSpec("c", ("collector",), "collector", "4"),
    ),
    Form.PINS,
    symbol="optocoupler",
    cold=_transistor_cold,
    live=_transistor_live,
    faults=failing(
        _SOURCE,
        *_led_ways(0.4),
        drifted("ctr", 0.3, 0.3, "weak"),
        shorted("c", "e", 0.15),
        leaky("c", "e", 0.10),
        opened("c", 0.05),
        swap=("a", "k"),
    ),
    aliases=("optocoupler", "photocoupler"),
    parameters=parameters(
        *_LED,
        *(entry for entry in PARAMETERS if entry.symbol != "slope"),
        Parameter("ctr", usual(1.0, 0.5, 3.0, ""), 0.5, f"50-300 %: {PRACTICE}"),
    ),
    rate=2.0,
    raised=RAISED,
    roles=("feedback", "isolated input", "zero-cross", "isolated drive"),
    ratings=("V", "A"),
    open_pins=True,
    variants=words({"driver": "optodriver", "gate driver": "optodriver"}),
)
OPTODRIVER = Kind(
    "optodriver",
    "optically isolated gate driver",
    ("U", "OK", "PC", "OC", "IC", "ISO", "PH", "N"),
    (
        PinSpec("a", ("anode", "+", "led+"), "LED anode", "2"),
        PinSpec("k", ("cathode", "-", "led-"), "LED cathode", "3"),
        PinSpec("vee", ("gnd", "v-", "vss"), "ground", "5"),
        PinSpec("out", ("vo", "o", "output", "vout", "7"), "output", "6"),
        PinSpec("vcc", ("v+", "vdd"), "supply", "8"),
    ),
    Form.PINS,
    symbol="optodriver",
    cold=_driver_cold,
    live=_driver_live,
    faults=failing(
        f"as an optocoupler and a driver: {PRACTICE}",
        *_led_ways(0.3),
        shorted("out", "vee", 0.25),
        shorted("out", "vcc", 0.15),
        leaky("vcc", "vee", 0.15, ohms=20.0),
        opened("out", 0.15),
        swap=("a", "k"),
    ),
    aliases=("gateopto", "opto-driver"),
    parameters=parameters(
        *_LED,
        Parameter("rout", usual(3.0, 0.5, 10.0, "ohm"), 0.5, PRACTICE),
        Parameter("dropout", exact(0.3, "V", Origin.USUAL), 0.5, PRACTICE),
        Parameter("ipk", usual(1.0, 0.2, 5.0, "A"), 0.3, f"peak output: {PRACTICE}"),
        Parameter(
            "uvlo", unknown("V", 5.0, 20.0), 0.1, "as its data sheet", optional=True
        ),
    ),
    rate=4.0,
    rate_source=f"driver IC: {PRACTICE}",
    raised=RAISED,
    roles=("isolated gate drive",),
    ratings=("V", "A"),
)

COUPLINGS = (OPTO, OPTODRIVER)
