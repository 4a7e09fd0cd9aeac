"""What the trade knows of good boards, in circuits of our own.

Common practice, no source, unless another is named.
"""

from math import expm1

import pytest

from tests.meter.test_readings import reading
from tracegraph.stage.reading import Mode

DIODE, OHMS, BEEP, CAP = Mode.DIODE, Mode.OHMS, Mode.BEEP, Mode.CAP


def test_the_coil_hides_its_flyback_diode() -> None:
    text = "ground G\nrail P12 12V\nrest P12 -- G none\nK1 relay 270R a1=P12 a2=C\n"
    text += "D1 diode C -> P12\nQ1 npn b=B c=C e=G\nnothing on B\n"
    for red, black in (("C", "P12"), ("P12", "C")):
        answer = reading(text, red, black)
        assert answer.typical == pytest.approx(0.270, abs=0.003)
        assert "D1" in answer.unproven


def test_a_power_devices_antiparallel_diode_shows() -> None:
    text = "ground E\nQ1 igbt g=G c=C e=E\nR1 10k G -- E\n"
    forward = reading(text, "E", "C")
    assert 0.3 <= (forward.typical or 0) <= 0.7
    assert reading(text, "C", "E").display == "OL"


def test_an_igbt_without_its_diode_shows_nothing_both_ways() -> None:
    text = "ground E\nQ1 igbt no diode g=G c=C e=E\nR1 10k G -- E\n"
    assert {reading(text, *way).display for way in (("C", "E"), ("E", "C"))} == {"OL"}


def test_two_junctions_in_series_add() -> None:
    answer = reading("ground G\nD1 diode A -> M\nD2 diode M -> G\n", "A", "G")
    assert 0.8 <= (answer.typical or 0) <= 1.25


def test_a_gate_transformer_reads_its_gate_resistor_not_the_pull_down() -> None:
    text = "ground S\nT1.sec W -- S 0R3\nR1 22R W -- G\nR2 10k G -- S\n"
    answer = reading(text, "G", "S", OHMS)
    assert answer.typical == pytest.approx(22.4, abs=0.3)
    assert "R2" in answer.unproven


def test_two_terminators_read_60_ohm() -> None:
    text = "ground G\nR1 120R A -- B\nR2 120R A -- B\n"
    assert reading(text, "A", "B", OHMS).typical == pytest.approx(60.2, abs=0.2)


def test_a_bare_wire_beeps_and_100_ohm_do_not() -> None:
    assert reading("ground G\nR1 0R A -- G\n", "A", "G", BEEP).display == "beep"
    text = "ground G\nR1 100R A -- G\n"
    assert reading(text, "A", "G", BEEP).display == "no beep"


def test_a_resistor_at_the_beepers_limit_may_beep() -> None:
    assert reading("ground G\nR1 39R A -- G\n", "A", "G", BEEP).display == "may beep"


def test_capacitors_in_parallel_add() -> None:
    text = "ground G\nC1 100n A -- G\nC2 220n A -- G\n"
    answer = reading(text, "A", "G", CAP)
    assert answer.typical == pytest.approx(320e-9, rel=0.01)
    assert answer.low is not None
    assert answer.high is not None
    assert answer.low < 290e-9
    assert answer.high > 350e-9


def test_a_low_resistor_across_spoils_a_capacitance_reading() -> None:
    assert (
        reading("ground G\nC1 10n A -- G\nR1 1k A -- G\n", "A", "G", CAP).display
        == "OL"
    )


def test_ohms_climb_on_a_bulk_capacitor() -> None:
    # t / C: 47 uF climbs 21 k a second; exactly Rs (exp(t / Rs C) - 1) behind Rs.
    text = "ground G\nC1 47u A -> G\n"
    answer = reading(text, "A", "G", OHMS)
    assert answer.typical == pytest.approx(
        120.2e3 * expm1(1 / 120.2e3 / 47e-6), rel=0.01
    )
    assert answer.settles > 10
    assert "C1" in answer.reason
    assert answer.low is not None
    assert answer.low < 16e3


def test_ohms_through_a_junction_are_not_promised() -> None:
    # The same junction reads otherwise on every range: cases, not a number.
    answer = reading("ground G\nD1 diode A -> G\n", "A", "G", OHMS)
    assert answer.typical is None
    assert "your meter decides" in answer.reason or answer.display == "OL"


def test_a_scr_gate_reads_low_both_ways() -> None:
    text = "ground K\nQ1 scr g=G a=A k=K\n"
    for way in (("G", "K"), ("K", "G")):
        assert 3 <= (reading(text, *way, OHMS).typical or 0) <= 60
    assert reading(text, "A", "K").display == "OL"


def test_a_chip_without_a_named_ground_is_not_left_out() -> None:
    text = "ground G\nrail P5 5V\nrest P5 -- G 2k\nR1 10R A -- AI\nR2 10k A -- G\n"
    answer = reading(text + "U1 ic 6=AI 7=BI 8=P5 5=G\n", "G", "A")
    assert {case.display for case in answer.cases} == {"0.607 V", "OL"}
    assert "known-good board" in answer.ask


def test_a_large_electrolytic_is_seen_whole() -> None:
    answer = reading("ground G\nC1 4700u 20% A -> G\n", "A", "G", CAP)
    assert answer.typical == pytest.approx(4700e-6, rel=0.01)
    assert answer.low is not None
    assert answer.low < 3800e-6


def test_a_chain_before_a_bulk_capacitor_drifts_for_minutes() -> None:
    text = "ground N\nR1 1M B -- M\nR2 2M M -- N\nC1 470u B -> N\n"
    answer = reading(text, "B", "M", OHMS)
    assert answer.settles > 100
    assert answer.early.endswith("still moving: C1")
