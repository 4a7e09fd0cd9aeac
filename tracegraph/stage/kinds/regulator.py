"""Linear regulators and the shunt regulator."""

from tracegraph.quantity import Quantity, unknown, usual
from tracegraph.stage.branch import Branch, Follower
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.chip import guess, wired
from tracegraph.stage.kinds.failures import drifted, failing, leaky, opened, shorted
from tracegraph.stage.kinds.law import through
from tracegraph.stage.kinds.table import PRACTICE, RAISED, parameters, words
from tracegraph.stage.part import Part

_STIFF = 1000.0
_DROPOUT = 2.0
_LOW_DROPOUT, _LOW_VOLTS = 1.2, 4.5
"""What the usual ones for less than 5 V want over their output: common practice."""
_LEAST_CATHODE = 1.9
"""Volts that a shunt regulator's cathode keeps when pulled down hard."""


def _series_cold(part: Part) -> tuple[Branch, ...]:
    """Return the junctions that a pass stage usually shows: out to in, gnd to both."""
    return _either_way(part, (("out", "in"), ("gnd", "in"), ("gnd", "out")))


def _either_way(part: Part, pairs: tuple[tuple[str, str], ...]) -> tuple[Branch, ...]:
    turned = part.kind.word == "negativeregulator"
    ordered = ((k, a) if turned else (a, k) for a, k in pairs)
    return tuple(guess(a, k) for a, k in ordered if {a, k} <= part.pins.keys())


def _positive_live(part: Part) -> tuple[Branch, ...]:
    """Return the output lifted towards the input while it stands under `vout`."""
    under = through(lambda volts: -volts, "V", part.quantity("vout"))
    ohms = part.quantity("rout")
    output = Follower("out", "gnd", "in", "gnd", "out", under, _STIFF, ohms)
    lift = output._replace(pulls="up", dropout=_dropout(part))
    return (*_series_cold(part), *wired(part, lift))


def _negative_live(part: Part) -> tuple[Branch, ...]:
    """Return the output pulled down to the input while it stands over -`vout`."""
    volts, ohms = part.quantity("vout"), part.quantity("rout")
    output = Follower("out", "in", "gnd", "gnd", "out", volts, _STIFF, ohms)
    pull = output._replace(pulls="down", dropout=_dropout(part))
    return (*_series_cold(part), *wired(part, pull))


def _dropout(part: Part) -> float:
    """Return the volts that a regulator wants between its input and its output."""
    volts = part.quantity("vout").typical
    fixed = part.kind.word != "adjustableregulator"
    return _LOW_DROPOUT if fixed and volts and volts < _LOW_VOLTS else _DROPOUT


def _shunt_cold(part: Part) -> tuple[Branch, ...]:
    """Return the substrate junctions: anode to cathode, anode to reference."""
    return tuple(guess("a", k) for k in ("k", "ref") if {"a", k} <= part.pins.keys())


def _shunt_live(part: Part) -> tuple[Branch, ...]:
    """Return the cathode pulled down while the reference pin stands over `vref`."""
    over = through(lambda volts: -volts, "V", part.quantity("vref"))
    ohms = part.quantity("rout")
    output = Follower("k", "a", "k", "a", "ref", over, _STIFF, ohms)
    sink = output._replace(pulls="down", dropout=_LEAST_CATHODE)
    return (*_shunt_cold(part), *wired(part, sink))


def _series(
    word: str,
    title: str,
    numbers: tuple[str, str, str],
    vout: Quantity,
    source: str,
    aliases: tuple[str, ...],
) -> Kind:
    """Return a regulator; `numbers` are those of its in, gnd and out pins."""
    first, middle, last = numbers
    return Kind(
        word,
        title,
        ("U", "IC", "VR", "N", "Q", "DA"),
        (
            PinSpec("in", ("vin", "i", "input"), "input", first),
            PinSpec("gnd", ("com", "adj", "g"), "ground", middle),
            PinSpec("out", ("vout", "o", "output"), "output", last),
        ),
        Form.PINS,
        symbol="box",
        cold=_series_cold,
        live=_negative_live if word == "negativeregulator" else _positive_live,
        faults=failing(
            f"regulator: {PRACTICE}",
            shorted("in", "out", 0.30),
            shorted("out", "gnd", 0.20),
            shorted("in", "gnd", 0.15),
            opened("out", 0.20),
            drifted("vout", 0.7, 0.15),
            swap=("in", "out"),
        ),
        aliases=aliases,
        value="vout",
        parameters=parameters(
            Parameter("vout", vout, 0.05, source),
            Parameter("rout", usual(0.5, 0.05, 2.0, "ohm"), 0.5, PRACTICE),
        ),
        rate=4.0,
        rate_source=f"as a driver IC: {PRACTICE}",
        raised=RAISED,
        roles=("rail", "auxiliary supply"),
        ratings=("V", "A"),
        variants=words(
            {"negative": "negativeregulator", "adjustable": "adjustableregulator"}
        ),
    )


SHUNTREG = Kind(
    "shuntreg",
    "shunt regulator",
    ("U", "IC", "D", "Q", "VR", "N", "Z", "DA"),
    (
        PinSpec("k", ("cathode",), "cathode", "3"),
        PinSpec("a", ("anode", "gnd"), "anode", "2"),
        PinSpec("ref", ("r", "reference", "adj"), "reference", "1"),
    ),
    Form.PINS,
    symbol="shuntreg",
    cold=_shunt_cold,
    live=_shunt_live,
    faults=failing(
        f"shunt regulator: {PRACTICE}",
        shorted("k", "a", 0.40),
        leaky("k", "a", 0.20),
        drifted("vref", 0.8, 0.15),
        opened("k", 0.15),
        opened("ref", 0.10),
        swap=("k", "a"),
    ),
    aliases=("shuntregulator", "shuntref"),
    value="vref",
    parameters=parameters(
        Parameter("vref", usual(2.495, 2.44, 2.55, "V"), 0.02, f"2.495 V: {PRACTICE}"),
        Parameter("rout", usual(0.3, 0.1, 0.6, "ohm"), 0.5, PRACTICE),
    ),
    rate=3.0,
    rate_source=f"as a zener: {PRACTICE}",
    raised=RAISED,
    roles=("feedback", "reference", "over-voltage trip"),
    ratings=("V", "A"),
)

REGULATORS = (
    _series(
        "regulator",
        "linear regulator",
        ("1", "2", "3"),
        unknown("V", 1.0, 40.0),
        "as marked on it",
        ("linearregulator", "ldo"),
    ),
    _series(
        "negativeregulator",
        "negative linear regulator",
        ("2", "1", "3"),
        unknown("V", 1.0, 40.0),
        "a magnitude, as marked on it",
        ("negative-regulator",),
    ),
    _series(
        "adjustableregulator",
        "adjustable linear regulator",
        ("3", "1", "2"),
        usual(1.25, 1.20, 1.30, "V"),
        f"out to adj: {PRACTICE}",
        ("adjustable-regulator",),
    ),
    SHUNTREG,
)
