"""What the trade knows of parts with three legs (common practice, no source)."""

from collections.abc import Callable

import pytest

from tests.diagnose.legs.conftest import METER
from tracegraph.diagnose.legs.answer import Health, LegsAnswer
from tracegraph.diagnose.legs.belief import world
from tracegraph.diagnose.legs.predict import PinStep
from tracegraph.diagnose.legs.step import Way

Told = Callable[[str], LegsAnswer]
OPEN = 2.0  # volts above which the meter shows OL


def healthy(name: str, red: str, black: str) -> list[float]:
    """Return what the healthy pieces of a kind show in a plain reading."""
    teller = next(
        one for one in world(METER).predictors if one.group.candidate.name == name
    )
    told = teller.told(PinStep(red, black, Way.PLAIN)).mean
    cells = zip(teller.group.cells, told, strict=True)
    return [float(volts) for cell, volts in cells if cell.health == "healthy"]


@pytest.mark.parametrize(
    ("name", "red", "black", "low", "high"),
    [
        ("NPN transistor", "b", "c", 0.50, 0.75),
        ("PNP transistor", "e", "b", 0.50, 0.75),
        ("N-channel MOSFET", "s", "d", 0.40, 0.60),  # its body diode
        ("P-channel MOSFET", "d", "s", 0.40, 0.60),
        ("IGBT with diode", "e", "c", 0.40, 0.60),
        ("Schottky dual diode, common cathode", "a1", "k", 0.15, 0.35),
        ("dual diode, in series", "a", "k", 0.80, 1.20),
        ("thyristor (SCR)", "k", "g", 0.005, 0.050),  # 5-20 ohm and more, at 1 mA
        (
            "NPN line transistor with damper diode and base-emitter resistor",
            "e",
            "b",
            0.020,
            0.050,
        ),
    ],
)
def test_a_healthy_part_shows_the_figure_of_the_trade(
    name: str, red: str, black: str, low: float, high: float
) -> None:
    assert all(low <= volts <= high for volts in healthy(name, red, black))


def test_an_emitter_reads_a_few_millivolts_over_a_collector() -> None:
    emitter = healthy("NPN transistor", "b", "e")
    collector = healthy("NPN transistor", "b", "c")
    pairs = zip(emitter, collector, strict=True)
    assert all(0.001 < e - c < 0.020 for e, c in pairs)  # 0.614 and 0.611 on one meter


@pytest.mark.parametrize(
    ("name", "red", "black"),
    [
        ("N-channel MOSFET", "d", "s"),
        ("IGBT with diode", "c", "e"),
        ("thyristor (SCR)", "a", "k"),
        ("triac", "mt2", "mt1"),
    ],
)
def test_a_switch_that_is_off_blocks(name: str, red: str, black: str) -> None:
    assert all(volts > OPEN for volts in healthy(name, red, black))


def test_a_transistor_that_conducts_both_ways_is_replaced(told: Told) -> None:
    found = told("12=0.658 21=0.658 13=0.593 31=0.593 23=0.833 32=0.833")
    assert found.health is Health.FAULTY
    assert found.next is None


def test_its_replacement_conducts_one_way_and_is_healthy(told: Told) -> None:
    found = told("12=OL 21=0.656 13=OL 31=0.658 23=OL 32=OL")
    assert found.health is Health.HEALTHY
    assert found.possible[0].name == "PNP transistor"
    assert found.possible[0].legs[0] == "base"


def test_two_millivolts_are_not_guessed_upon(told: Told) -> None:
    found = told("12=OL 21=0.656 13=OL 31=0.658 23=OL 32=OL")
    assert not found.kind
    assert found.next is not None
    assert found.next.way is Way.PULLED_DOWN
    names = {one.name for one in found.possible}
    assert {"PNP transistor", "dual diode, common cathode"} <= names


def test_a_hundred_kilohm_tells_collector_from_emitter(told: Told) -> None:
    six = "12=OL 21=0.656 13=OL 31=0.658 23=OL 32=OL"
    found = told(f"{six} 32k12=1.1")
    assert found.kind == "PNP transistor"
    assert found.legs == ("base", "collector", "emitter")


def test_an_empty_gate_looks_like_a_diode(told: Told) -> None:
    found = told("12=OL 21=0.48 13=OL 31=OL 23=OL 32=OL")
    names = {one.name for one in found.possible}
    assert {"N-channel MOSFET", "IGBT with diode", "single diode"} <= names
    assert found.next is not None
    assert found.next.way in {Way.CHARGED_UP, Way.CHARGED_DOWN}


def test_a_charged_gate_names_the_mosfet(told: Told) -> None:
    found = told("12=OL 21=0.48 13=OL 31=OL 23=OL 32=OL 12+3=0.001")
    assert (found.kind, found.health) == ("N-channel MOSFET", Health.HEALTHY)
    assert found.legs == ("drain", "source", "gate")


def test_a_gate_that_does_not_answer_rules_nothing_out(told: Told) -> None:
    found = told("12=OL 21=0.48 13=OL 31=OL 23=OL 32=OL 12+3=OL 12-3=OL")
    names = {one.name for one in found.possible}
    assert {"N-channel MOSFET", "IGBT with diode", "single diode"} <= names
    assert not found.kind


def test_a_dead_short_is_faulty_whatever_it_was(told: Told) -> None:
    found = told("12=0 21=0 13=OL 31=OL 23=OL 32=OL")
    assert found.health is Health.FAULTY
    assert not found.kind


def test_a_leak_through_which_no_junction_is_seen_is_found_in_ohms(told: Told) -> None:
    six = "12=0.656 13=0.664 21=OL 31=OL 23=OL 32=OL"
    found = told(f"{six} 23k12=1.1 23r=47k 32r=47k")
    assert found.health is Health.FAULTY
    assert found.possible[0].faults[0] == "leaky c-e"
