"""Diodes of one junction, light-emitting ones too."""

from tracegraph.quantity import Quantity, usual
from tracegraph.stage.branch import Branch
from tracegraph.stage.kind import Form, Kind
from tracegraph.stage.kinds.failures import HANDBOOK, failing, leaky, opened, shorted
from tracegraph.stage.kinds.junctions import SILICON_LEAK, forward, junction, volts
from tracegraph.stage.kinds.table import (
    DIODE_PINS,
    PRACTICE,
    RAISED,
    parameters,
    words,
)
from tracegraph.stage.part import Part

_FAULTS = failing(
    f"general-purpose diode: {HANDBOOK} (parameter change taken as a leak)",
    shorted("a", "k", 0.49),
    opened("a", 0.36),
    leaky("a", "k", 0.15),
    swap=("a", "k"),
)
_LED_FAULTS = failing(
    f"light-emitting diode: {HANDBOOK} (open 70 %, short 30 %)",
    opened("a", 0.70),
    shorted("a", "k", 0.30),
    swap=("a", "k"),
)
_POWER = ("free-wheeling", "clamp", "snubber", "output rectifier", "bootstrap")
_SIGNAL = ("steering", "turn-off helper", "clamp", "flyback", "reverse protection")
_FORMS = {
    "signal": "diode",
    "rectifier": "rectifier",
    "fast": "fast",
    "schottky": "schottky",
    "sic": "sicdiode",
}
_PAIRED = {
    "common cathode": "commoncathode",
    "common anode": "commonanode",
    "series": "seriesdiodes",
}
_COLOURS = words(
    {
        "red": "led",
        "yellow": "led",
        "green": "led",
        "white": "whiteled",
        "blue": "whiteled",
        "infrared": "irled",
        "ir": "irled",
    }
)


def _family(part: Part) -> str:
    """Return the family whose parts spread together: metal, silicon or its own."""
    return _FAMILIES.get(part.kind.word, "silicon")


_FAMILIES = {
    "schottky": "schottky",
    "sicdiode": "silicon carbide",
    "led": "led",
    "whiteled": "white led",
    "irled": "infrared led",
}


def _one(part: Part) -> tuple[Branch, ...]:
    return (junction(part, "a", "k", _family(part)),)


def _diode(  # noqa: PLR0913 - one argument a column of the table below
    word: str,
    title: str,
    aliases: tuple[str, ...],
    drop: Quantity,
    slope: Quantity,
    leak: Quantity,
    *,
    rate: float,
    roles: tuple[str, ...],
) -> Kind:
    """Return a diode kind from a row of the table of usual values."""
    metal = "-schottky" if word == "schottky" else ""
    paired = {text: pair + metal for text, pair in _PAIRED.items()}
    return Kind(
        word,
        title,
        ("D", "CR", "VD", "V", "DS"),
        DIODE_PINS,
        Form.ONE_WAY,
        symbol="schottky" if word in {"schottky", "sicdiode"} else "diode",
        cold=_one,
        faults=_FAULTS,
        aliases=aliases,
        parameters=parameters(*forward(drop, slope, leak)),
        rate=rate,
        raised=RAISED,
        roles=roles,
        ratings=("V", "A"),
        variants=words({**_FORMS, **paired}),
    )


def _led(
    word: str, title: str, aliases: tuple[str, ...], drop: Quantity, slope: Quantity
) -> Kind:
    """Return a light-emitting kind from its usual values."""
    return Kind(
        word,
        title,
        ("LED", "D", "DS", "H", "V"),
        DIODE_PINS,
        Form.ONE_WAY,
        symbol="led",
        cold=_one,
        faults=_LED_FAULTS,
        aliases=aliases,
        parameters=parameters(*forward(drop, slope, usual(1e-10, 1e-13, 1e-8, "A"))),
        rate=1.0,
        rate_source=f"as a small part: {PRACTICE}",
        raised=RAISED,
        roles=("indicator",),
        ratings=("A",),
        variants=_COLOURS,
    )


def _slope(typical: float, low: float, high: float) -> Quantity:
    return usual(typical, low, high, "V/dec")


_METAL_LEAK = usual(1e-5, 1e-6, 1e-4, "A")
"""Schottky leakage: 1-100 uA, doubling every 10 degrees (common practice)."""

DIODES = (
    _diode(
        "diode",
        "diode",
        ("signaldiode",),
        volts(0.60, 0.50, 0.70),
        _slope(0.10, 0.06, 0.12),
        SILICON_LEAK,
        rate=1.0,
        roles=_SIGNAL,
    ),
    _diode(
        "rectifier",
        "rectifier diode",
        ("powerdiode",),
        volts(0.57, 0.50, 0.65),
        _slope(0.10, 0.06, 0.12),
        SILICON_LEAK,
        rate=3.0,
        roles=("mains rectifier", "bypass", "reverse protection", *_POWER),
    ),
    _diode(
        "fast",
        "fast recovery diode",
        ("ultrafast", "fastdiode", "frd"),
        volts(0.50, 0.40, 0.60),
        _slope(0.09, 0.06, 0.12),
        usual(1e-9, 1e-12, 1e-8, "A"),
        rate=3.0,
        roles=_POWER,
    ),
    _diode(
        "schottky",
        "Schottky diode",
        ("schottkydiode",),
        volts(0.25, 0.15, 0.35),
        _slope(0.065, 0.058, 0.08),
        _METAL_LEAK,
        rate=3.0,
        roles=_POWER,
    ),
    _diode(
        "sicdiode",
        "silicon carbide Schottky diode",
        ("sic-diode",),
        volts(0.80, 0.65, 0.95),
        _slope(0.065, 0.058, 0.09),
        usual(1e-9, 1e-12, 1e-8, "A"),
        rate=3.0,
        roles=("boost diode", *_POWER),
    ),
    _led(
        "led",
        "light-emitting diode",
        (),
        volts(1.75, 1.50, 2.00),
        _slope(0.12, 0.07, 0.20),
    ),
    _led(
        "whiteled",
        "white or blue light-emitting diode",
        ("blueled",),
        volts(2.65, 2.45, 2.90),
        _slope(0.12, 0.07, 0.25),
    ),
    _led(
        "irled",
        "infrared light-emitting diode",
        ("infraredled",),
        volts(1.05, 0.95, 1.15),
        _slope(0.11, 0.07, 0.14),
    ),
)
