"""Rails, rests, inputs and links as a file declares them."""

import pytest

from tracegraph.notation.source import from_text
from tracegraph.quantity import Origin
from tracegraph.stage.read import read
from tracegraph.stage.stage import LinkForm, Rest, RestForm, Stage


def section(*lines: str) -> Stage:
    return read(from_text("bench.trace", "\n".join(lines)))


def test_a_rail_stands_on_the_first_ground_unless_it_says() -> None:
    stage = section("ground COM E1", "rail P12 12V", "rail BUS 320V 10% over E1")
    first, second = stage.rails
    assert (first.over, second.over) == ("COM", "E1")
    assert (first.volts.low, first.volts.high) == pytest.approx((11.4, 12.6))
    assert second.volts.high == pytest.approx(352)


def test_a_negative_rail_has_its_interval_the_right_way_round() -> None:
    volts = section("ground COM", "rail -8 -8V 5%").rails[0].volts
    assert (volts.low, volts.typical, volts.high) == pytest.approx((-8.4, -8, -7.6))


@pytest.mark.parametrize(
    ("words", "form", "told"),
    [
        ("1k8", RestForm.OHMS, 1800),
        ("1800", RestForm.OHMS, 1800),
        ("472", RestForm.OHMS, 472),
        ("470u", RestForm.CAPACITANCE, 470e-6),
    ],
)
def test_a_rest_is_what_the_meter_showed(
    words: str, form: RestForm, told: float
) -> None:
    (rest,) = section("ground COM", f"rest P12 -- COM {words}").rests
    assert rest.form is form
    quantity = rest.ohms or rest.farads
    assert quantity
    assert quantity.typical == pytest.approx(told)


def diode_rest(words: str) -> Rest:
    (rest,) = section("ground COM", f"rest P12 -- COM diode {words}").rests
    return rest


def test_a_rest_of_a_junction_has_two_directions() -> None:
    assert (diode_rest("0.45 / 1.20").forward, diode_rest("0.45 / 1.20").backward) == (
        0.45,
        1.20,
    )
    assert diode_rest("OL / 520").backward == pytest.approx(0.52)
    assert diode_rest("OL / 520").forward is None


def test_nothing_else_on_a_rail_is_said_with_none() -> None:
    (rest,) = section("ground COM", "rest P12 -- COM none").rests
    assert rest.form is RestForm.NONE


def test_an_input_has_levels_a_driver_and_a_rhythm() -> None:
    (driven,) = section("input PWM 0V / 3300mV via 220R 18kHz 45%").inputs
    assert driven.low.typical == 0
    assert driven.high.typical == pytest.approx(3.3)
    assert driven.via.typical == 220
    assert (driven.hertz, driven.duty) == (18e3, 0.45)


def test_a_driver_that_is_not_told_is_only_usual() -> None:
    (driven,) = section("input PWM 0V / 5V").inputs
    assert driven.via.origin is Origin.USUAL


def test_a_beep_is_no_wire_until_it_is_trusted() -> None:
    stage = section("R1 1k A -- B", "link A C", "link A B ?", "bridge A B 12R")
    assert [link.trusted for link in stage.links] == [True, False, True]
    assert (stage.links[2].form, stage.links[2].ohms) == (LinkForm.BRIDGE, 12)
