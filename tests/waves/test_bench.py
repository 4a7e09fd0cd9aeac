"""Gates on the scope, as a technician meets them."""

import pytest

from tests.waves.bench import BARE, PUMP, altered, scope, section, treadmill
from tracegraph.stage.reference import reference_of
from tracegraph.waves.result import Wave, WaveError
from tracegraph.waves.telling import told
from tracegraph.waves.wave import wave


def words(found: Wave) -> str:
    return ". ".join((*told(found), *found.doubts, *found.taken))


def test_a_driver_keeps_frequency_and_duty_and_raises_amplitude() -> None:
    """3.3 V in, 15 V out, 20 kHz, 44 us wide: 88 % at both ends.

    Common practice, no source; the section is our own.
    """
    pin, gate = scope(PUMP, "PWM").asked.measures, scope(PUMP, "GATE").asked.measures
    assert pin.amplitude == pytest.approx(3.3, rel=0.01)
    assert gate.amplitude == pytest.approx(15.0, rel=0.02)
    for end in (pin, gate):
        assert end.hertz == pytest.approx(20e3, rel=1e-3)
        assert end.width == pytest.approx(44e-6, rel=0.01)
        assert end.duty == pytest.approx(0.88, abs=0.01)


def test_driver_power_is_charge_times_volts_times_frequency() -> None:
    """A gate of 20 nC at 10 V and 100 kHz: 20 mW, 2 mA in the mean; 0.5 A for 40 ns.

    P = Qg V f and I = Qg / t as in Microchip AN799, "Matching MOSFET drivers to
    MOSFETs", whose worked example is 20 nC in 40 ns (from memory). The gate is a plain
    2 nF here, so that 20 nC at 10 V are exact.
    """
    gate = """
    ground COM
    input PWM 0V / 10V via 10R 100kHz 50%
    Q1 nfet g=PWM d=COM s=COM ciss=2n crss=40p qg=1n
    """
    found = scope(gate, "PWM").asked
    assert found.gate
    assert found.gate.charge == pytest.approx(20e-9, rel=0.01)
    assert found.gate.watts == pytest.approx(20e-3, rel=0.01)
    assert 20e-9 / 40e-9 < found.gate.into < 10.0 / 10.0 + 1e-6


def test_a_controllers_pin_alone_is_too_weak_for_a_gate() -> None:
    """A pin gives at most 20 mA where the gate wants 50 mA or more: hence the driver.

    Common practice, no source; the sections are our own.
    """
    bare, driven = scope(BARE, "PWM").asked, scope(PUMP, "GATE").asked
    assert bare.gate
    assert driven.gate
    assert bare.gate.into <= 20e-3
    assert driven.gate.into >= 50e-3
    assert bare.measures.rise
    assert driven.measures.rise
    assert bare.measures.rise > 3 * driven.measures.rise


def test_the_treadmills_gate_swings_to_its_rail() -> None:
    found = scope("", "GATE").asked
    assert found.settled
    assert found.measures.top == pytest.approx(14.37, abs=0.1)
    assert found.measures.duty == pytest.approx(0.6, abs=0.01)
    assert found.measures.fall
    assert found.measures.fall < 1e-6
    assert found.switches[0].fully


def test_without_the_turn_off_helper_the_gate_falls_far_slower() -> None:
    found, healthy = altered("GATE", "without Q23"), scope("", "GATE")
    assert found.asked.measures.fall
    assert healthy.asked.measures.fall
    assert found.asked.measures.fall > 50 * healthy.asked.measures.fall
    assert "Q24 never switches off" in words(found)


def test_a_leaky_helper_keeps_the_gate_from_its_rail() -> None:
    """Emitter to collector 47 ohm: the device lingers in its linear region.

    That it kills the power device again and again is common practice, no source.
    """
    found = altered("GATE", "with R99 22R GD -- COM")
    assert found.asked.measures.high < 9.0
    assert not found.asked.switches[0].fully
    assert "never fully on" in words(found)


def test_with_a_stand_in_the_edges_are_those_of_the_stand_in() -> None:
    found = scope(PUMP, "GATE", "without Q1 with C99 2n2 GATE -- COM")
    assert found.asked.gate
    assert found.asked.gate.charge == pytest.approx(
        2.2e-9 * (found.asked.measures.high - found.asked.measures.low), rel=0.02
    )
    assert not found.asked.switches
    assert found.doubts == ()
    assert found.healthy
    assert found.healthy.gate
    assert "The fall takes" in words(found)


def test_with_the_device_out_the_edges_are_quickest() -> None:
    found = scope(PUMP, "GATE", "without Q1")
    assert found.asked.gate is None
    assert found.asked.measures.rise
    assert found.healthy
    assert found.healthy.measures.rise
    assert found.asked.measures.rise < found.healthy.measures.rise / 3


def test_a_motor_shows_the_plateau_and_the_loss() -> None:
    """Half V times I times both times bounds what is followed moment by moment."""
    found = altered("GATE", "with M1 motor 8R HV+ -- MOT-").asked
    loss = found.switches[0].loss
    assert loss
    assert loss.amps
    assert loss.joules
    assert loss.solved
    assert loss.volts == pytest.approx(320, rel=0.02)
    assert 0.3 * loss.joules < loss.solved < 1.2 * loss.joules


def test_a_high_side_gate_is_measured_against_its_own_source() -> None:
    high = """
    ground COM
    rail BUS 48V
    rail P12 12V
    input HIN 0V / 5V via 100R 20kHz 50%
    U1 bridgedriver vcc=P12 hin=HIN com=COM vs=PH ho=HO vb=VB
    D1 fast P12 -> VB
    C1 220n VB -- PH
    R1 22R HO -- GH
    Q1 nfet g=GH d=BUS s=PH
    R2 load 22R PH -- COM
    """
    found = scope(high, "GH")
    assert found.against == "PH"
    assert found.asked.settled
    assert found.asked.measures.amplitude == pytest.approx(11.3, abs=0.6)


def test_a_shunt_does_not_make_a_source_float() -> None:
    assert reference_of(treadmill(), "GATE") == "COM"


def test_where_nothing_switches_it_is_said_with_the_level() -> None:
    found = scope(BARE, "BUS")
    assert not found.asked.switches_here
    assert "nothing in this section switches BUS; its level is 48 V" in words(found)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", "nothing drives GATE: no input is declared"),
        ("input PWM 0V / 5V via 220R", "input PWM (line 3) has no frequency"),
        ("input PWM 0V / 5V via 220R 18kHz 100%", "does not switch"),
    ],
)
def test_an_input_that_says_too_little(line: str, said: str) -> None:
    text = f"ground COM\nrail P12 12V\n{line}\nR1 1k GATE -- COM\nR2 1k PWM -- GATE\n"
    stage = section(text)
    with pytest.raises(WaveError, match=said.replace("(", r"\(").replace(")", r"\)")):
        wave(stage, "GATE")


def test_without_a_ground_nothing_is_driven() -> None:
    stage = section("input PWM 0V / 5V via 220R 18kHz\nR1 1k PWM -- A\nR2 1k A -- B\n")
    with pytest.raises(WaveError, match="no ground"):
        wave(stage, "A")


def test_a_part_without_a_value_is_named() -> None:
    stage = section(
        "ground COM\ninput PWM 0V / 5V via 220R 18kHz\nR1 ? PWM -- A\nR2 1k A -- COM\n"
    )
    with pytest.raises(WaveError, match="R1: no value"):
        wave(stage, "A")


@pytest.mark.parametrize("value", ["2u2", "2p2"])
def test_a_stand_in_a_thousand_times_off_was_hardly_meant(value: str) -> None:
    found = scope(BARE, "PWM", f"without Q1 with C99 {value} PWM -- COM")
    assert "2.2 nF meant?" in words(found)


def test_hertz_that_were_meant_as_kilohertz() -> None:
    slow = scope(BARE.replace("20kHz", "20Hz"), "PWM")
    assert "20 kHz meant?" in words(slow)


def test_two_inputs_of_one_bridge_take_turns() -> None:
    bridge = """
    ground COM
    rail P12 12V
    input HIN 0V / 5V via 100R 20kHz 50%
    input LIN 0V / 5V via 100R 20kHz 50%
    U1 bridgedriver vcc=P12 hin=HIN lin=LIN com=COM lo=LO vs=COM ho=HO vb=P12
    """
    found = scope(bridge, "LO")
    assert {one.net for one in found.inputs} == {"LIN", "HIN"}
    assert "in turns" in words(found)


def test_the_order_of_lines_and_a_second_look_change_nothing() -> None:
    lines = BARE.strip().split("\n")
    other = "\n".join([*lines[:3], *reversed(lines[3:])])
    one, two = scope(BARE, "PWM").asked, scope(other, "PWM").asked
    assert one.measures.rise == pytest.approx(two.measures.rise, rel=0.01)
    assert one.measures.amplitude == pytest.approx(two.measures.amplitude, rel=1e-3)


def test_with_the_plug_out_nothing_switches_any_more() -> None:
    found = scope(BARE, "PWM", "unplugged PWM")
    assert not found.asked.switches_here
    assert found.healthy
    assert found.healthy.switches_here
    assert "Nothing switches PWM any more: it rests at 0 V" in words(found)
    assert "Q1 stays off" in words(found)
    assert "PWM is unplugged" in words(found)


HIGH_SIDE = """
ground GND
rail BAT 24V
input GO 0V / 5V via 1k 400Hz 30%
R1 4k7 GO -- B1
R2 47k B1 -- GND
Q1 npn b=B1 c=COL e=GND
R3 10k BAT -- G1
R4 4k7 G1 -- COL
D1 zener 12V G1 -> BAT
Q2 pfet g=G1 s=BAT d=OUT vgsth=2V
R5 load 48R OUT -- GND
"""


def test_a_p_channel_gate_switches_when_it_is_pulled_down() -> None:
    found = scope(HIGH_SIDE, "G1")
    assert found.against == "BAT"
    assert found.asked.measures.low == pytest.approx(-12.0, abs=0.5)
    (device,) = found.asked.switches
    assert device.most == pytest.approx(12.0, abs=0.5)
    assert "stays off" not in words(found)


def test_a_driver_too_weak_for_its_gate_resistor_is_named() -> None:
    # 15 V over 5 ohm of its own and 10 ohm: an ampere, where this one gives 0.3 A
    weak = PUMP.replace("rout=5R", "rout=5R ipk=0.3A")
    assert "U1 would give " in words(scope(weak, "GATE"))
    assert "more than its 300 mA" in words(scope(weak, "GATE"))


def test_two_drivers_in_parallel_share_the_gates_current() -> None:
    pair = PUMP.replace("rout=5R", "rout=5R ipk=0.6A")
    second = "\nU2 driver in=PWM out=OUT gnd=COM vcc=P15 rout=5R ipk=0.6A\n"
    assert "U1 would give" in words(scope(pair, "GATE"))
    assert "would give" not in words(scope(pair + second, "GATE"))


def test_a_controllers_pin_on_a_gate_is_told_what_a_driver_is_for() -> None:
    strong = BARE.replace("via 250R", "via 25R")
    assert "that is what a driver is for" in words(scope(strong, "PWM"))


def test_a_switch_with_hardly_a_load_is_told_no_loss() -> None:
    """Ten milliamperes through 4.7 k at 48 V: nothing that heats anything."""
    text = """
    ground GND
    rail V48 48V
    input PWM 0V / 12V via 10R 20kHz 50%
    Q1 nfet g=PWM d=D s=GND ciss=2n
    R1 4k7 V48 -- D
    """
    said = words(scope(text, "PWM"))
    assert "Q1 has next to nothing to switch: 10.2 mA" in said
    assert "a cycle" not in said


def test_a_net_on_its_way_is_not_called_still() -> None:
    """A fan's winding behind its reservoir creeps up for a thousand periods."""
    text = """
    ground GND
    rail P24 24V
    input FAN 0V / 5V via 10R 25kHz 60%
    R1 1k FAN -- GND
    R2 1k P24 -- OUT
    R3 1k OUT -- GND
    """
    still = scope(text, "OUT")
    assert "DC only" in words(still)
    moving = still._replace(asked=still.asked._replace(settled=False))
    assert "OUT hardly moves within a period: 12 V by now" in words(moving)
    assert "DC only" not in words(moving)


def test_no_longer_is_waited_than_asked_for() -> None:
    """Two periods have to agree, so one is too few to call a section settled."""
    found = wave(section(PUMP), "GATE", patience=1).asked
    assert not found.settled
    assert found.periods == 1
