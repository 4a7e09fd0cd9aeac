"""Shares of failures against the handbook's."""

import pytest

from tests.stage.kinds.made import made
from tracegraph.quantity import exact
from tracegraph.stage.change import Cut, Permute, Tie, Vary
from tracegraph.stage.kind import Fault
from tracegraph.stage.kinds.failures import MISSING, SWAPPED

# MIL-HDBK-338B, failure-mode distributions, from memory.
SHARES = [
    ("resistor", "open", 0.59),
    ("resistor", "drifted", 0.36),
    ("resistor", "short", 0.05),
    ("capacitor", "short", 0.49),
    ("capacitor", "less capacitance", 0.29),
    ("capacitor", "open", 0.22),
    ("electrolytic", "short", 0.53),
    ("electrolytic", "open", 0.35),
    ("electrolytic", "dried out", 0.10),
    ("electrolytic", "less capacitance", 0.02),
    ("tantalum", "short", 0.57),
    ("tantalum", "open", 0.32),
    ("tantalum", "less capacitance", 0.11),
    ("diode", "short", 0.49),
    ("diode", "open", 0.36),
    ("diode", "leaky", 0.15),
    ("zener", "open", 0.45),
    ("zener", "drifted", 0.35),
    ("zener", "short", 0.20),
    ("npn", "open", 0.27),
    ("nfet", "short", 0.51),
    ("nfet", "leaky d-s", 0.22),  # output low: the drain is pulled down by its leak
    ("nfet", "leaky g-s", 0.17),  # parameter change: what a cold meter can see of it
    ("nfet", "open", 0.10),  # open 5 and output high 5: a channel that never conducts
    ("connector", "open", 0.61),
    ("connector", "poor contact", 0.23),
    ("connector", "short", 0.16),
    ("relay", "welded", 0.26),
    ("crystal", "open", 0.89),
]


def faults(word: str) -> tuple[Fault, ...]:
    part = made(word)
    return part.kind.faults(part)


@pytest.mark.parametrize(("word", "name", "share"), SHARES)
def test_a_kind_fails_as_the_handbook_says(word: str, name: str, share: float) -> None:
    found = faults(word)
    slips = any(isinstance(change, Permute) for f in found for change in f.changes)
    handbook = sum(f.share for f in found if f.name.startswith(name))
    assert handbook == pytest.approx(share * (1 - (SWAPPED + MISSING if slips else 0)))


# Kinds that fail as another does, down to the name of the fault.
ALIKE = {
    "resistor": ("shunt", "fusible", "array"),
    "diode": ("rectifier", "fast", "schottky", "sicdiode"),
    "zener": ("tvs",),
    "npn": ("pnp", "npn-digital", "pnp-digital"),
    "nfet": ("pfet", "sicfet"),
}


@pytest.mark.parametrize("word", ALIKE)
def test_a_family_fails_alike(word: str) -> None:
    expected = {fault.name: fault.share for fault in faults(word)}
    for other in ALIKE[word]:
        found = {fault.name: fault.share for fault in faults(other)}
        assert found == pytest.approx(expected)


@pytest.mark.parametrize("word", ["commoncathode", "commonanode", "bridge"])
@pytest.mark.parametrize("name", ["short", "open", "leaky"])
def test_several_diodes_in_one_case_share_out_what_one_has(
    word: str, name: str
) -> None:
    one, several = (
        sum(fault.share for fault in faults(w) if fault.name.startswith(name))
        for w in ("diode", word)
    )
    assert several == pytest.approx(one)


def test_an_igbt_fails_as_a_fet_with_a_collector_and_an_emitter() -> None:
    """The handbook has no line for it: it is taken as a FET (common practice)."""
    pins = str.maketrans({"d": "c", "s": "e"})
    expected = {}
    for fault in faults("nfet"):
        name, _, where = fault.name.partition(" ")
        expected[f"{name} {where.translate(pins)}".strip()] = fault.share
    assert {f.name: f.share for f in faults("igbt")} == pytest.approx(expected)


def test_a_transistors_leaks_and_shorts_are_the_handbooks_shorts() -> None:
    shorts = sum(f.share for f in faults("npn") if f.name.startswith(("short", "leak")))
    assert shorts / (1 - SWAPPED - MISSING) == pytest.approx(0.73)


def test_an_open_is_exact() -> None:
    (change,) = next(f for f in faults("resistor") if f.name == "open").changes
    assert isinstance(change, Cut)


def test_a_shorted_transistor_joins_two_of_its_nets() -> None:
    fault = next(f for f in faults("npn") if f.name == "short c-e")
    assert fault.changes == (Tie("net c", "net e"),)
    assert fault.words == "X1 shorted c-e"


def test_drift_goes_outside_the_tolerance() -> None:
    part = made("resistor", r=exact(10e3, "ohm").within(0.05))
    (change,) = next(f for f in part.kind.faults(part) if f.name == "drifted").changes
    assert isinstance(change, Vary)
    assert change.quantity.low > part.quantity("r").high


def test_an_unknown_value_is_not_seen_to_drift() -> None:
    (change,) = next(f for f in faults("resistor") if f.name == "drifted").changes
    assert isinstance(change, Vary)
    assert not change.quantity.known


def test_a_one_pin_connector_cannot_short() -> None:
    part = made("connector", pins=("1",))
    found = part.kind.faults(part)
    assert {fault.name for fault in found} == {"open at 1", "poor contact at 1"}
    assert sum(fault.share for fault in found) == pytest.approx(1.0)


def test_a_chip_without_a_known_ground_can_only_be_open() -> None:
    part = made("ic", pins=("1", "2"))
    assert {fault.name for fault in part.kind.faults(part)} == {
        "open at 1",
        "open at 2",
    }
