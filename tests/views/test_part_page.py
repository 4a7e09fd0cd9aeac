"""A part in its place: its pairs, why they read so, what a pass does not prove."""

from dataclasses import replace
from types import MappingProxyType

from tests.views.expectations import OPEN, PLAIN, REST_OPEN
from tracegraph.meter.expected import Expected
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.views.part_page import part_page
from tracegraph.views.plain import plain_text

PINS = MappingProxyType({"b": "N1", "c": "COM", "e": "DRV"})
Q12 = Part("Q12", KINDS["pnp"], PINS)


def page(*answers: Expected) -> str:
    return " ".join(plain_text(part_page([Q12], answers, ["Unplug."])).split())


def over(one: Expected, red: str, black: str) -> Expected:
    return replace(one, red=f"Q12.{red}", black=f"Q12.{black}")


def test_the_part_is_told_with_its_nets() -> None:
    text = page(over(PLAIN, "b", "e"))
    assert text.startswith("Q12, PNP transistor: b on N1, c on COM, e on DRV")
    assert "CAUTION: Unplug." in text


def test_each_pair_is_a_row_with_its_window() -> None:
    text = page(over(PLAIN, "b", "e"), over(REST_OPEN, "b", "e"))
    assert "red black ohms diode" in text
    assert "Q12.b Q12.e 22 k (21.7 to 22.3 k) 0.72 V, 1.15 V or OL" in text


def test_the_diode_test_gives_the_reason() -> None:
    text = page(over(PLAIN, "b", "e"), over(REST_OPEN, "b", "e"))
    assert "Q12.b Q12.e diode 0.72 V, 1.15 V or OL: the emitter-base junction" in text
    assert "Watch it: 0.67 V at first, OL after 2.8 s: C12." in text


def test_a_pair_that_nothing_joins_needs_no_reason() -> None:
    alone = replace(over(OPEN, "c", "b"), parts=(), reason="nothing leads across")
    assert "nothing leads across" not in page(alone)


def test_what_a_pass_leaves_open_is_said() -> None:
    text = page(over(PLAIN, "b", "e"))
    assert "What a pass does not prove - Its gain" in text


def test_a_part_hidden_by_its_neighbours_is_said_to_be() -> None:
    hidden = replace(over(PLAIN, "b", "e"), hidden=("Q12", "D81"))
    text = page(hidden)
    assert "Q12 cannot be told in place: lift a leg to test it." in text
    assert "D81 is not observable here: it lies across these pins." in text


def test_what_to_measure_first_is_told_once() -> None:
    text = page(over(REST_OPEN, "b", "e"), over(REST_OPEN, "e", "b"))
    assert text.count("Measure P12-COM and write") == 1
