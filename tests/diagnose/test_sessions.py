"""Whole cases, as they come to the bench: from the file and its readings to the verdict."""

from dataclasses import replace
from pathlib import Path

import tracegraph
from tests.diagnose.simulated import HANDHELD, Bench, with_readings
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Sort, State
from tracegraph.stage.reading import Mode

EXAMPLES = Path(__file__).parents[2] / "examples"
TREADMILL = EXAMPLES / "treadmill-gate-drive.trace"
LEAKY = EXAMPLES / "suspects" / "treadmill-leaky.readings.trace"
PROBED = (
    ("DRV", "COM", Mode.OHMS),
    ("GATE", "COM", Mode.DIODE),
    ("COM", "GATE", Mode.DIODE),
    ("V15", "DRV", Mode.DIODE),
    ("GD", "DRV", Mode.DIODE),
    ("DRV", "GD", Mode.DIODE),
    ("SRC", "MOT-", Mode.DIODE),
)


def test_a_leaky_helper_is_found_by_the_log_of_an_example() -> None:
    """Five readings, drawn with tolerance and noise, as `next` asked for them."""
    verdict = tracegraph.suspects(tracegraph.read(TREADMILL), LEAKY)
    top = verdict.groups[0]
    assert verdict.state is State.FOUND
    assert len(verdict.readings) == 5
    assert (top.suspects[0].parts, top.suspects[0].name) == (("Q23",), "leaky c-e")
    assert top.suspects[0].value is not None
    assert abs(top.suspects[0].value / 180.0 - 1) < 0.05
    assert top.check.startswith("look for a part between")


def test_the_next_reading_is_on_nets_of_the_section() -> None:
    stage = tracegraph.read(TREADMILL)
    advice = tracegraph.next_reading(stage, LEAKY)
    nets = stage.nets.keys()
    assert advice.done
    assert all(one.condition.changes for one in advice.proposals)
    assert all(stage.net(one.probe.black) in nets for one in advice.proposals)


def test_a_resistor_that_the_file_misses_condemns_no_part() -> None:
    """R25 is on the board and was not traced: 1 k from DRV to COM."""
    text = TREADMILL.read_text("utf-8")
    less = "\n".join(x for x in text.splitlines() if not x.startswith("R25 "))
    board = replace(tracegraph.read(TREADMILL), log=())
    traced = replace(tracegraph.read(f"{less}\n"), log=())
    readings = Bench(board, seed=5).log(PROBED)
    verdict = Inquiry(traced, HANDHELD).verdict(with_readings(traced, readings))
    top = verdict.groups[0]
    paths = [one for one in top.suspects if one.name == "missed path"]
    assert {"DRV", "COM"} in [set(one.nets) for one in paths]
    assert all(0.9e3 < (one.value or 0.0) < 1.1e3 for one in paths)
    assert verdict.state is State.TRACING
    assert "before any part is condemned" in verdict.words
    assert "DRV" in top.check
    assert top.slip > 0.5
    assert any(one.sort is Sort.SLIP for one in top.suspects)


def test_a_coil_across_a_diode_is_lawful_and_named() -> None:
    """The dryer's own readings: 0.27 V both ways over D81, which is the coil."""
    verdict = tracegraph.suspects(
        tracegraph.read(EXAMPLES / "dryer-relay-driver.trace")
    )
    assert verdict.state is State.HEALTHY
    (told,) = verdict.lawful
    assert "K81" in told
    assert "D81 can't show its junction" in told


FAN = """
stage "fan of a charger"
ground GND
rail P12 12V
R1 2k2 P12 -- B
R2 10k B -- GND
Q1 npn b=B c=FAN e=GND
D1 diode FAN -> P12
readings "arrived"
  ohms P12 GND 3k1
  ohms B GND 3k89
"""


def test_a_rail_that_was_read_is_known_by_that_reading() -> None:
    """Its rest is no fault, whatever is usual: 4.1 k beside the section's own 12.2 k."""
    verdict = tracegraph.suspects(tracegraph.read(FAN))
    assert verdict.state is State.HEALTHY
    assert verdict.odd == ()


def test_a_rail_that_reads_short_is_not_taken_for_its_rest() -> None:
    short = FAN.replace("3k1", "0.3").replace("3k89", "1k8")
    verdict = tracegraph.suspects(tracegraph.read(short))
    assert "P12" in [one.reading.red for one in verdict.odd]
    assert verdict.state is not State.HEALTHY
