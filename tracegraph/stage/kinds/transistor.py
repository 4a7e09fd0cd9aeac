"""Bipolar transistors, with or without resistors built in."""

from tracegraph.quantity import unknown, usual
from tracegraph.stage.branch import Branch, Conductor, Transistor
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import (
    SPLIT,
    every,
    failing,
    leaky,
    opened,
    shorted,
)
from tracegraph.stage.kinds.junctions import (
    DROP_TOLERANCE,
    IDEAL_SLOPE,
    tested,
    volts,
)
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters, words
from tracegraph.stage.part import Part

PINS = (
    PinSpec("b", ("base",), "base"),
    PinSpec("c", ("collector", "coll"), "collector"),
    PinSpec("e", ("emitter", "emit"), "emitter"),
)
FAULTS = failing(
    f"bipolar transistor, short 73 %, open 27 %: {SPLIT}; leak counted as short",
    shorted("c", "e", 0.30),
    shorted("b", "c", 0.14),
    shorted("b", "e", 0.10),
    leaky("c", "e", 0.11),
    leaky("b", "c", 0.04),
    leaky("b", "e", 0.04),
    *every(opened, 0.27, "b", "c", "e"),
    swap=("c", "e"),
)
PARAMETERS = (
    Parameter("vbe", volts(0.66, 0.60, 0.72), DROP_TOLERANCE, f"at 1 mA: {PRACTICE}"),
    Parameter("slope", IDEAL_SLOPE, 0.03, "Vt ln 10 at 300 K"),
    Parameter("hfe", usual(200.0, 100.0, 400.0, ""), 0.5, PRACTICE),
    Parameter("hfer", usual(4.0, 1.0, 10.0, ""), 0.5, PRACTICE),
    Parameter("icbo", usual(1e-10, 1e-12, 1e-8, "A"), 0.9, PRACTICE),
    Parameter(
        "vebo",
        usual(7.0, 5.0, 10.0, "V", at=1e-5),
        0.1,
        "data sheets promise 5-6 V at 10 uA, from memory",
    ),
)
_BUILT_IN = (
    Parameter("r1", unknown("ohm", 1e3, 100e3), 0.3, "in the base lead", optional=True),
    Parameter("r2", unknown("ohm", 1e3, 100e3), 0.3, "base-emitter", optional=True),
)
_DIGITAL = tuple(
    Parameter(symbol, usual(10e3, 1e3, 47e3, "ohm"), 0.3, f"1k-47k, often 10k: {where}")
    for symbol, where in (("r1", "in the base lead"), ("r2", "base to emitter"))
)
_ROLES = ("turn-off helper", "totem pole", "level shifter", "driver", "clamp", "switch")


def transistor(part: Part, base: str, polarity: int) -> Transistor:
    """Return the transistor itself, its base at `base` (a pin or an inner node)."""
    return Transistor(
        base,
        "c",
        "e",
        polarity,
        drop=tested(part, "vbe"),
        slope=part.quantity("slope"),
        gain=part.quantity("hfe"),
        reverse_gain=part.quantity("hfer"),
        leak=part.quantity("icbo"),
        breakdown=tested(part, "vebo"),
        family="npn" if polarity > 0 else "pnp",
    )


def fitted(part: Part, symbol: str) -> bool:
    """Return whether the part has a resistor built in: written, or always so."""
    return symbol in part.given or not part.kind.parameters[symbol].optional


def _polarity(part: Part) -> int:
    return 1 if part.kind.word.startswith("npn") else -1


def _cold(part: Part) -> tuple[Branch, ...]:
    series, across = fitted(part, "r1"), fitted(part, "r2")
    base = "*b" if series else "b"
    lead = (Conductor("b", base, part.quantity("r1")),) if series else ()
    bleed = (Conductor(base, "e", part.quantity("r2")),) if across else ()
    return (transistor(part, base, _polarity(part)), *lead, *bleed)


def _kind(
    word: str, title: str, aliases: tuple[str, ...], built_in: tuple[Parameter, ...]
) -> Kind:
    return Kind(
        word,
        title,
        ("Q", "T", "TR", "VT", "V"),
        PINS,
        Form.PINS,
        symbol=word[:3],
        cold=_cold,
        faults=FAULTS,
        aliases=aliases,
        parameters=parameters(*PARAMETERS, *built_in),
        rate=3.0,
        raised=RAISED,
        roles=_ROLES,
        ratings=("V", "A", "W"),
        variants=words(
            {
                "digital": f"{word[:3]}-digital",
                "dual": word,
                "prebiased": word[:3] + "-digital",
            }
        ),
    )


TRANSISTORS = (
    _kind("npn", "NPN transistor", (), _BUILT_IN),
    _kind("pnp", "PNP transistor", (), _BUILT_IN),
    _kind("npn-digital", "NPN with built-in resistors", ("npn-prebiased",), _DIGITAL),
    _kind("pnp-digital", "PNP with built-in resistors", ("pnp-prebiased",), _DIGITAL),
)
