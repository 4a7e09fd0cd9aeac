"""Usual values against the figures of the trade and of published documents."""

import pytest

from tests.stage.kinds.made import made
from tracegraph.stage.branch import Conductor, Junction
from tracegraph.stage.kinds import KINDS

# Diode test at about 1 mA; common practice, no source.
DROPS = [
    ("diode", "vf", 0.50, 0.75),
    ("rectifier", "vf", 0.50, 0.75),
    ("fast", "vf", 0.40, 0.60),
    ("schottky", "vf", 0.15, 0.35),
    ("nfet", "vsd", 0.40, 0.60),
    ("pfet", "vsd", 0.40, 0.70),
    ("igbt", "vf", 0.40, 0.60),
    ("led", "vf", 1.50, 2.00),
    ("npn", "vbe", 0.50, 0.75),
    ("pnp", "vbe", 0.50, 0.75),
    ("zener", "vf", 0.50, 0.75),
    ("opto", "vf", 0.95, 1.15),
]


@pytest.mark.parametrize(("word", "symbol", "low", "high"), DROPS)
def test_a_good_junction_shows_the_trades_drop(
    word: str, symbol: str, low: float, high: float
) -> None:
    drop = KINDS[word].parameters[symbol].quantity
    assert low <= drop.low < drop.high <= high
    assert drop.at == 1e-3


def test_a_white_led_stays_dark_on_a_two_volt_meter() -> None:
    """Common practice, no source: OL on 2-V meters, lit by 3-V meters."""
    assert KINDS["whiteled"].parameters["vf"].quantity.low > 2.0
    assert KINDS["whiteled"].parameters["vf"].quantity.high < 3.0


def test_a_silicon_carbide_body_diode_drops_a_volt_or_two() -> None:
    """Common practice, no source: 1.2 V or more, or OL."""
    assert KINDS["sicfet"].parameters["vsd"].quantity.low >= 1.2


def test_the_opto_led_lies_on_its_measured_curve() -> None:
    """1.09 V at 3 mA, 1.13 V at 6.7 mA, 1.18 V at 14 mA: measured, no source."""
    from math import log10

    led = made("opto")
    drop, slope = led.quantity("vf").typical, led.quantity("slope").typical
    assert drop is not None
    assert slope is not None
    for amperes, volts in ((3e-3, 1.09), (6.7e-3, 1.13), (14e-3, 1.18)):
        assert drop + slope * log10(amperes / 1e-3) == pytest.approx(volts, abs=0.015)


def test_schottky_leaks_and_silicon_hardly() -> None:
    """Common practice, no source: Schottky 1-100 uA, silicon nA at most."""
    metal = KINDS["schottky"].parameters["ir"].quantity
    assert (metal.low, metal.high) == (1e-6, 1e-4)
    assert KINDS["diode"].parameters["ir"].quantity.high <= 1e-8


def test_a_transistors_slope_is_nearly_the_ideal_junctions() -> None:
    """Vt ln 10 at 300 K from the CODATA constants k and e (exact since 2019)."""
    from math import log

    ideal = 1.380649e-23 * 300 / 1.602176634e-19 * log(10)
    slope = KINDS["npn"].parameters["slope"].quantity
    assert slope.low < ideal < slope.high
    assert slope.typical == pytest.approx(ideal, rel=0.01)


def test_a_thyristors_gate_reads_a_few_ohms_both_ways() -> None:
    """Common practice, no source: 5-20 ohm, 5-20 mV in diode test."""
    gate = next(b for b in KINDS["scr"].cold(made("scr")) if isinstance(b, Conductor))
    assert {gate.a, gate.b} == {"g", "k"}
    assert gate.ohms.typical is not None
    assert 5 <= gate.ohms.typical <= 20


@pytest.mark.parametrize(
    ("word", "symbol", "figure"),
    [
        ("shuntreg", "vref", 2.495),
        ("adjustableregulator", "vout", 1.25),
        ("relay", "rdc", 270.0),
        ("comparator", "vio", 0.0),
    ],
)
def test_the_usual_part_of_the_trade_lies_inside_its_spread(
    word: str, symbol: str, figure: float
) -> None:
    """Common practice, no source."""
    quantity = KINDS[word].parameters[symbol].quantity
    assert quantity.low <= figure <= quantity.high


def test_a_chips_guessed_pins_are_told_from_known_junctions() -> None:
    guesses = [b for b in KINDS["ic"].cold(made("ic")) if isinstance(b, Junction)]
    assert guesses
    assert {guess.family for guess in guesses} == {"pin"}
    assert all(0.4 <= guess.drop.low < guess.drop.high <= 0.75 for guess in guesses)


# How often a kind is the culprit; common practice, no source.
RATES = [
    (("nfet", "pfet", "igbt", "sicfet"), 10.0),
    (("electrolytic",), 8.0),
    (("connector", "driver", "bridgedriver", "optodriver"), 4.0),
    (("npn", "pnp", "fast", "rectifier", "schottky", "bridge"), 3.0),
    (("zener", "tvs", "shunt", "fusible"), 3.0),
    (("opto",), 2.0),
    (("capacitor",), 1.0),
    (("resistor", "array", "winding", "inductor"), 0.5),
]


@pytest.mark.parametrize(("words", "rate"), RATES)
def test_rates_are_the_trades(words: tuple[str, ...], rate: float) -> None:
    assert {KINDS[word].rate for word in words} == {rate}


def test_a_high_value_resistor_is_suspected_like_a_sense_resistor() -> None:
    resistor = KINDS["resistor"]
    assert resistor.rate * resistor.raised["over 100k"] == KINDS["shunt"].rate
