"""What shows without a part, against what is worked out on paper."""

import pytest

from tests.purpose.sections import DIVIDER, RELAY, changes, part_of, section
from tracegraph.purpose.purpose import purpose
from tracegraph.purpose.result import Deed, Rank

CHAIN = """
ground COM
rail P12 12V
input ON 0V / 5V via 100R
R1 4k7 ON -- B
R2 10k B -- COM
Q1 npn b=B c=C e=COM
R3 10k C -- BP
R4 4k7 P12 -- BP
Q2 pnp b=BP e=P12 c=OUT
R5 1k OUT -- COM
state on ON=high
"""
GATED = """
ground COM
rail P12 12V
input PWM 0V / 12V via 50R
R1 22R PWM -- G
R2 10k G -- COM
Q1 nfet g=G d=D s=S vgsth=3V
R3 0R1 S -- COM
R4 1k P12 -- D
state off PWM=low
state on PWM=high
"""


def test_a_base_without_its_pull_down_floats_with_the_controller_unplugged() -> None:
    # Common practice, no source: the reason why the resistor is there at all.
    found = part_of(RELAY, "R2")
    (floats,) = changes(found, Rank.FLOATS)
    assert floats.subject == "B"
    assert floats.scenes == ("with the controller unplugged",)
    assert floats.was == pytest.approx(10e3, rel=0.02)  # R2 alone holds it
    assert found.without.startswith(
        "Without it B floats with the controller unplugged, "
        "and Q1 stays where leakage puts it. Cold, red B, black COM, in ohms: 9.99 k"
    )


def test_without_base_current_the_relay_does_not_pull_in() -> None:
    found = part_of(RELAY, "R1")
    (acts,) = changes(found, Rank.ACTS)
    assert (acts.subject, acts.scenes) == ("K1", ("in on",))
    assert acts.was == pytest.approx(12 / 270, rel=0.02)  # Ohm's law
    assert acts.now == pytest.approx(0.0, abs=1e-6)


def test_a_shorted_base_resistor_loads_the_controllers_pin() -> None:
    found = changes(part_of(RELAY, "R1"), Rank.OVER, Deed.SHORTED)
    over = next(one for one in found if one.subject == "ON")
    # (5 V - 0.7 V) / 100 ohm; 0.1 V of base-emitter is 1 mA of it
    assert over.now == pytest.approx(43e-3, abs=1.5e-3)
    assert "more than the 20 mA of a usual one" in over.words


def test_a_short_from_collector_to_emitter_turns_the_relay_on() -> None:
    found = part_of(RELAY, "Q1")
    assert found.shorted.startswith(
        "Shorted, in off and with the controller unplugged K1 pulls in"
    )


def test_a_shorted_freewheel_diode_leaves_the_coil_without_volts() -> None:
    found = part_of(RELAY, "D1")
    assert not changes(found, Rank.ACTS)
    assert "the current of K1 has nowhere to go at switching off" in found.without
    (acts,) = changes(found, Rank.ACTS, Deed.SHORTED)
    assert (acts.subject, acts.scenes) == ("K1", ("in on",))


def test_a_base_tied_to_a_collector_burns_it() -> None:
    # The PNP's base current is no longer limited but by the NPN's gain.
    (over, *_) = changes(part_of(CHAIN, "R3"), Rank.OVER, Deed.SHORTED)
    assert over.subject in {"Q1", "Q2"}
    assert "has to burn" in over.words or "takes" in over.words


def test_a_divider_without_one_of_its_resistors() -> None:
    # 10 k over 10 k || 10 k: 5 V / 3; without one of them 5 V / 2
    (level,) = changes(part_of(DIVIDER, "R3"), Rank.LEVEL)
    assert level.was == pytest.approx(5 / 3, abs=1e-4)
    assert level.now == pytest.approx(2.5, abs=1e-4)
    (level,) = changes(part_of(DIVIDER, "R1"), Rank.LEVEL)
    assert level.now == pytest.approx(0.0, abs=1e-6)


def test_what_is_still_held_is_not_said_to_float() -> None:
    # By its place R2 is a gate pull-down; R1 and the driver hold the gate as well.
    text = GATED.replace("R2 10k G -- COM", "R2 10k G -- COM\nR9 4k7 G -- COM")
    found = part_of(text, "R2")
    assert found.role == "gate pull-down"
    assert not changes(found, Rank.FLOATS)
    (held,) = changes(found, Rank.HELD)
    assert held.now == pytest.approx(4.7e3, rel=0.01)
    assert "G is still held, by 4.7 k at most" in found.without


def test_a_gate_that_gets_no_drive_keeps_its_device_off() -> None:
    (acts,) = changes(part_of(GATED, "R1"), Rank.ACTS)
    assert (acts.subject, acts.scenes) == ("Q1", ("in on",))
    assert acts.now == pytest.approx(0.0, abs=1e-3)


def test_a_source_without_its_shunt_floats() -> None:
    (floats, *_) = changes(part_of(GATED, "R3"), Rank.FLOATS)
    assert floats.subject == "S"
    assert "the current of Q1 has no way back" in floats.words


def test_a_filter_smooths_what_its_resistance_and_capacitance_tell() -> None:
    text = f"{DIVIDER}C1 100n TAP -- COM\n"
    (held,) = changes(part_of(text, "C1"), Rank.HELD)
    assert held.now == pytest.approx(10e3 / 3 * 100e-9, rel=1e-3)  # R C
    assert held.unit == "s"


def test_a_short_across_a_rail_is_told_before_all_else() -> None:
    found = part_of(f"{RELAY}C1 100n P12 -- COM\n", "C1")
    assert found.role == "decoupling"
    assert found.shorted == "Shorted, in every state it shorts P12."


def test_a_place_that_tells_nothing_is_said_to_be_unknown_not_guessed() -> None:
    found = part_of("ground COM\nrail P5 5V\nU1 ic 1=A 2=COM\nR1 1k P5 -- A\n", "U1")
    assert (found.role, found.lost) == ("", "")


def test_without_states_every_combination_of_the_inputs_is_one() -> None:
    text = RELAY.replace("state off ON=low\nstate on ON=high\n", "")
    found = purpose(section(text), ["R1"])
    assert found.scenes == (
        "in ON=low",
        "in ON=high",
        "with the controller unplugged",
    )


def test_without_inputs_the_rails_are_put_on_once() -> None:
    assert purpose(section(DIVIDER), ["R1"]).scenes == ("powered",)


def test_an_unread_value_is_taken_as_usual_and_that_is_said() -> None:
    found = purpose(section(RELAY.replace("R2 10k", "R2 ?")), ["R1"])
    assert found.taken == ("R2 is not known: taken as 10 k",)


def test_without_a_ground_nothing_is_worked_out() -> None:
    found = purpose(section("R1 1k A -- B\nR2 1k B -- C\n"))
    assert found.scenes == ()
    assert found.untold == ("no ground is declared, so nothing can be powered",)


def test_what_is_not_on_the_board_is_no_ones_purpose() -> None:
    found = part_of(
        RELAY.replace("D1 diode COIL -> P12", "D1 absent COIL -> P12"), "D1"
    )
    assert found.absent
    assert found.findings == ()


def test_a_diode_across_a_coil_can_not_be_told_in_place() -> None:
    # The coil shorts it for the meter: common practice, no source.
    (cold,) = changes(part_of(RELAY, "D1"), Rank.READING)
    assert "with it or without it, so it can't be told in place" in cold.words


def test_a_section_that_never_rests_is_said_not_to() -> None:
    # A comparator that pulls its own input over its threshold: a relaxation oscillator.
    text = """
ground COM
rail P5 5V
R1 10k P5 -- OUT
R2 10k OUT -- UP
R3 10k P5 -- UP
R4 10k UP -- COM
R5 47k OUT -- RAMP
C1 10n RAMP -- COM
U1 comparator out=OUT in+=UP in-=RAMP
supply U1 vcc=P5 gnd=COM
"""
    found = purpose(section(text), ["R5"])
    assert found.scenes == ()
    assert found.untold == ("powered it never comes to rest",)
    assert "No level" not in found.parts[0].without


def test_a_megohm_still_holds_a_net() -> None:
    text = DIVIDER.replace("R3 10k", "R3 1M").replace("J1 connector 1=TAP\n", "")
    text += "U1 comparator out=OUT in+=TAP in-=COM\nsupply U1 vcc=P5 gnd=COM\n"
    text = text.replace("R1 10k P5 -- TAP\n", "")
    found = part_of(text, "R2")
    assert not changes(found, Rank.FLOATS)
