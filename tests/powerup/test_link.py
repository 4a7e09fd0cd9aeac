"""The DC link as a technician finds it: what holds, what empties, what feeds."""

from math import log

import pytest

from tests.powerup.sections import links, links_of, only
from tracegraph.powerup.cautions import charge_caution
from tracegraph.powerup.link.boost import coil_ripple, droop, duty
from tracegraph.powerup.link.trust import untrusted

BUS = "rail BUS 325V 0%"
BULK = "C1 470u/400V BUS -> COM"


def test_a_bleeder_empties_its_capacitor() -> None:
    link = only(BUS, BULK, "R1 100k 1% BUS -- COM")
    assert link.bleed is not None
    assert link.bleed.parts == ("R1",)
    touch, meter = link.falls
    # t = RC ln(V0 / V); at worst 101 k and 564 uF (20 % where none is written).
    assert touch.typical == pytest.approx(47.0 * log(325 / 60))
    assert touch.longest == pytest.approx(1.01 * 1.2 * 47.0 * log(325 / 60))
    assert meter.typical == pytest.approx(47.0 * log(325 / 10))


def test_a_chain_of_bleeders_by_way_of_two_nets() -> None:
    chain = "chain BUS -- R1 33k -- A -- R2 33k -- B -- R3 33k -- COM"
    link = only(BUS, BULK, chain)
    assert link.bleed is not None
    assert link.bleed.parts == ("R1", "R2", "R3")
    assert link.bleed.ohms is not None
    assert link.bleed.ohms.typical == pytest.approx(99e3)


def test_energy_with_its_tolerance() -> None:
    link = only("rail BUS 400V 0%", "C1 680u/450V BUS -> COM", "R1 1M BUS -- COM")
    assert link.energy is not None
    assert link.energy.typical == pytest.approx(54.4)
    assert link.energy.high == pytest.approx(54.4 * 1.2)


def test_no_bleeder_no_time() -> None:
    link = only(BUS, BULK)
    assert link.bleed is None
    assert link.falls == ()


def test_what_the_rest_of_the_board_shows_counts_and_is_told() -> None:
    link = only(BUS, BULK, "rest BUS -- COM 150k")
    assert link.bleed is not None
    assert link.bleed.rest
    assert "treat it as charged" in untrusted(link)
    assert "treat it as charged" in charge_caution(link)
    assert link.bleed.parts == ()
    assert link.falls[0].typical == pytest.approx(150e3 * 470e-6 * log(325 / 60))


def test_a_bleeder_of_unknown_value_is_not_counted_on() -> None:
    link = only(BUS, BULK, "R1 ? BUS -- COM")
    assert link.bleed is not None
    assert link.bleed.unknown == ("R1",)
    assert link.bleed.ohms is None
    assert link.falls == ()


def test_beside_an_unknown_one_the_known_one_still_bounds_the_time() -> None:
    link = only(BUS, BULK, "R1 ? BUS -- COM", "R2 100k BUS -- COM")
    touch = link.falls[0]
    assert touch.typical is None
    assert touch.longest == pytest.approx(1.05 * 1.2 * 47.0 * log(325 / 60))


def test_a_capacitor_without_a_value_has_no_time_and_a_doubt() -> None:
    link = only(BUS, "C1 electrolytic ? BUS -> COM", "R1 100k BUS -- COM")
    assert link.farads is not None
    assert link.farads.typical is None
    assert link.energy is None
    assert [one.typical for one in link.falls] == [None, None]
    assert "C1 has no value" in link.doubts[0]


def test_a_rail_without_volts_is_bounded_by_what_its_capacitor_is_made_for() -> None:
    link = only("rail BUS ?", BULK, "R1 100k BUS -- COM")
    assert link.volts.typical is None
    assert link.energy is not None
    assert link.energy.typical is None
    assert link.energy.high == pytest.approx(470e-6 * 1.2 * 400**2 / 2)
    assert link.falls[0].typical is None
    assert link.falls[0].longest == pytest.approx(1.05 * 1.2 * 47.0 * log(400 / 60))
    assert "what BUS stands at is not written" in link.doubts[0]


def test_a_value_a_thousand_off_is_asked_about() -> None:
    link = only(BUS, "C1 electrolytic 68n/400V BUS -> COM")
    assert link.doubts == ("C1 is written as 68n: 68u meant?",)


def test_a_low_rail_is_no_link() -> None:
    assert links("rail P12 12V", "C1 1000u/16V P12 -> COM").links == ()


def test_the_capacitor_behind_a_fuse_is_the_links() -> None:
    link = only(
        BUS, "F1 fuse 5A BUS -- B", "C1 470u/400V B -> COM", "R1 100k BUS -- COM"
    )
    assert link.capacitors == ("C1",)
    assert link.bleed is not None
    assert link.bleed.through == ("F1",)


def test_two_halves_with_their_balance_resistors() -> None:
    link = only(
        "rail BUS 560V 0%",
        "C1 470u/400V BUS -> MID",
        "C2 470u/400V MID -> COM",
        "R1 47k BUS -- MID",
        "R2 47k MID -- COM",
    )
    assert link.capacitors == ("C1", "C2")
    assert link.farads is not None
    assert link.farads.typical == pytest.approx(235e-6)
    expected = 47e3 * 470e-6 * log(560 / 60)
    assert link.falls[0].typical == pytest.approx(expected, rel=2e-3)


def test_a_film_capacitor_across_the_mains_is_gone_in_a_second() -> None:
    # IEC 60335-1, 22.5: 34 V at the plug after 1 s (from memory).
    mains = next(one for one in links_of("charger-flyback-primary").links if one.mains)
    assert mains.bleed is not None
    assert mains.bleed.parts == ("R61", "R62")
    assert mains.falls[0].volts == 34.0
    assert mains.falls[0].typical == pytest.approx(940e3 * 100e-9 * log(325 / 34))
    assert mains.after is not None
    assert mains.after < 34.0


def test_start_up_resistors_are_no_bleeder() -> None:
    bus = links_of("charger-flyback-primary").links[0]
    assert bus.bleed is None
    assert bus.leads == (
        "R63 and R64 (660 k) lead to VCC, where D62 and U61 take what they may",
    )


def test_the_sense_chain_and_what_a_meter_shows_on_it() -> None:
    # checks.md of the trade: 3 x 1M + 10k at 400 V, meter of 10 M.
    link = only(
        "rail BUS 400V 0%",
        "chain BUS -- R1 1M -- A -- R2 1M -- B -- R3 1M -- TAP -- R4 10k -- COM",
        "U1 comparator out=X in-=TAP in+=REF gnd=COM",
    )
    assert [(one.net, one.sense) for one in link.taps] == [
        ("A", False),
        ("B", False),
        ("TAP", True),
    ]
    assert [one.shown for one in link.taps] == pytest.approx(
        [250.4, 125.8, 1.328], abs=0.05
    )


def test_boost_duty_ripple_and_droop() -> None:
    # D = 1 - Vin/Vout, dI = Vin D / (L f), dV = I D / (C f): Erickson and Maksimovic,
    # Fundamentals of Power Electronics (from memory).
    assert duty(325.0, 390.0) == pytest.approx(1 / 6)
    assert duty(400.0, 390.0) == 0.0
    assert coil_ripple(200.0, 0.5, 500e-6, 100e3) == pytest.approx(2.0)
    assert droop(0.5, 500e-6, 100e3) == pytest.approx(0.01)


def test_the_boost_stage_of_the_air_conditioner() -> None:
    found = links_of("airconditioner-boost-stage")
    bus, rectified, _ = found.links
    assert bus.boost is not None
    assert (bus.boost.coil, bus.boost.switch, bus.boost.diode) == ("L91", "Q91", "D91")
    assert bus.boost.mains
    duties = {one.state: one.duty for one in bus.boost.duties}
    assert duties["wait"] == 0.0
    assert duties["full"] == pytest.approx(1 - 325 / 385)
    assert rectified.follows == "BUS"
    tap = next(one for one in bus.taps if one.sense)
    assert tap.volts == pytest.approx(385 * 13 / 2053, rel=1e-3)


def test_it_says_when_no_pulses_are_no_fault() -> None:
    told = links_of("airconditioner-boost-stage").quiet
    assert any(one.when.startswith("BUS is at its target (385 V)") for one in told)
    assert any("U91 is locked out" in one.why for one in told)
    assert any("as in wait" in one.when for one in told)


def test_a_flyback_is_no_boost_stage() -> None:
    assert all(one.boost is None for one in links_of("charger-flyback-primary").links)


def test_a_ripple_beyond_the_switch_is_asked_about() -> None:
    lines = (
        "rail VIN 100V",
        "rail BUS 200V",
        "input PWM 0V / 12V 50kHz 50%",
        "L1 inductor 330n VIN -- SW",
        "Q1 nfet g=PWM d=SW s=COM rating 600V 20A",
        "D1 fast SW -> BUS",
        "C1 470u/400V BUS -> COM",
    )
    bus = next(one for one in links(*lines).links if one.plus == "BUS")
    assert any("a thousand off" in one for one in bus.doubts)
