"""Meters in the notation: the built-in ones, and the user's own."""

from pathlib import Path

import pytest

from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.profile_file import (
    UnknownMeterError,
    built_in,
    find_meter,
    read_meters,
)
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode

YELLOW = """\
meter "yellow handheld"
  counts 6000
  ohms 600R open 0.4V behind 1k2 accuracy 0.9% 3
  ohms 6k   open 0.4V behind 12k accuracy 0.9% 3
  diode 1mA open 3.2V over 2V accuracy 0.5% 2
  beep open 3.2V behind 3k below 30R
  capacitance 100Hz 0.2V
  volts 10M accuracy 0.5% 2
  leads 0.15R
"""


def test_three_meters_are_built_in() -> None:
    meters = built_in()
    assert set(meters) == {"handheld", "three-volt", "needle"}
    assert all(one.volts <= 0.4 for one in meters["handheld"].ohms)
    assert all(one.volts == 3.0 for one in meters["three-volt"].ohms)
    needle = meters["needle"]
    assert needle.diode is None
    assert not needle.red_plus
    assert needle.ohms[0].volts / needle.ohms[0].behind == pytest.approx(0.075)
    assert 9 <= needle.ohms[-1].volts <= 22


def test_every_line_of_an_own_meter_counts() -> None:
    found = read_meters(from_text("mine", YELLOW))
    assert not found.problems
    (meter,) = found.profiles
    assert meter.name == "yellow handheld"
    assert [one.full for one in meter.ohms] == [600.0, 6000.0]
    assert meter.ohms[0].accuracy == pytest.approx(0.009)
    assert meter.ohms[0].digits == 3
    assert meter.diode is not None
    assert (meter.diode.amps, meter.diode.over) == (1e-3, 2.0)
    assert meter.beep is not None
    assert meter.beep.below == 30.0
    assert meter.leads == 0.15
    assert meter.cap is not None
    assert meter.cap.hertz == 100.0


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("ohms 600R behind 1k2", "lacks `open`"),
        ("diode 1mA open 3V", "lacks `over`"),
        ("ohms 600R open twelve behind 1k2", "twelve is no value"),
        ("red sideways", "red is plus or minus"),
    ],
)
def test_a_slip_in_a_range_is_told(line: str, says: str) -> None:
    found = read_meters(from_text("mine", f'meter "m"\n  {line}\n'))
    assert any(says in one.message for one in found.problems)


def test_a_meter_is_found_by_name_beside_the_file_or_by_path(tmp_path: Path) -> None:
    file = tmp_path / "bench.trace"
    file.write_text(YELLOW, "utf-8")
    assert find_meter("Yellow Handheld", (tmp_path,)).leads == 0.15
    assert find_meter(str(file)).leads == 0.15
    assert find_meter("NEEDLE").name == "needle"
    with pytest.raises(UnknownMeterError, match="known: handheld"):
        find_meter("gold", (tmp_path,))


def test_a_needle_meter_sees_a_diode_with_red_on_the_cathode() -> None:
    # Black is plus in ohms on most needle meters: common practice, no source.
    stage = read(from_text("bench", "ground G\nD1 diode A -> G\n"))
    needle = built_in()["needle"]
    probes = [Probe("G", "A", Mode.OHMS), Probe("A", "G", Mode.OHMS)]
    on_cathode, on_anode = expect(stage, probes, needle)
    assert on_cathode.low is not None
    assert on_cathode.low < 1000
    assert on_anode.low is None or on_anode.low > 1e6
    (none,) = expect(stage, [Probe("A", "G", Mode.DIODE)], needle)
    assert none.error == "the meter needle has no diode range"


def test_a_three_volt_meter_turns_junctions_on_in_ohms() -> None:
    # 10 mV on a junction moves such a display manyfold: cases, never a number.
    stage = read(from_text("bench", "ground G\nD1 diode A -> G\nR1 1M A -- G\n"))
    meters = built_in()
    probe = [Probe("A", "G", Mode.OHMS)]
    (loud,) = expect(stage, probe, meters["three-volt"])
    (quiet,) = expect(stage, probe, meters["handheld"])
    assert loud.typical is None or loud.typical < 0.5e6
    assert "D1" in loud.parts
    assert quiet.low is not None
    assert loud.low is not None
    assert quiet.low > loud.low
