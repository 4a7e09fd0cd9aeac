"""What is unknown stays unknown, what floats is called so, grounds are kept apart."""

import numpy as np
import pytest

from tests.levels.told import in_state, level, told
from tracegraph.meter.live.moves import LOST
from tracegraph.meter.live.standing import Standing, StandingError
from tracegraph.network.circuit import Floats, Ints
from tracegraph.views.levels_page import levels_page
from tracegraph.views.plain import plain_text

CHIP = """
ground GND
rail P5 5V
U1 ic vcc=P5 gnd=GND 3=DRV 4=SENSE
R1 1k DRV -- GATE
R2 10k GATE -- GND
R3 1k P5 -- MID
R4 1k MID -- GND
"""


def test_what_an_unknown_chip_may_drive_has_no_level_but_a_bound() -> None:
    gate = level(CHIP, "powered", "GATE")
    assert gate.volts is None
    assert gate.shown is None
    assert gate.low == pytest.approx(0.0, abs=0.01)
    assert gate.high == pytest.approx(5 * 10 / 11, rel=0.05)
    assert gate.uncertain == ("what U1.3 does",)
    assert gate.ask == "measure DRV, or find out what U1.3 does"


def test_what_the_chip_has_no_part_in_keeps_its_level() -> None:
    assert level(CHIP, "powered", "MID").volts == pytest.approx(2.5, abs=0.01)


def test_an_unreadable_resistor_leaves_what_hangs_on_it_open() -> None:
    text = "ground GND\nrail P5 5V\nR1 ? P5 -- A\nR2 10k A -- GND\nR3 1k P5 -- B\nR4 1k B -- GND"
    assert level(text, "powered", "A").uncertain == ("R1",)
    assert level(text, "powered", "B").volts == pytest.approx(2.5, abs=0.01)


def test_a_board_that_is_not_found_leaves_every_net_open(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What an unread value may be is no bound where the section is not solved with it."""

    def not_found(*_: object, **__: object) -> None:
        raise StandingError("no steady level found")

    monkeypatch.setattr("tracegraph.meter.live.moves.standings", not_found)
    text = "ground GND\nrail P9 9V\nR1 ? P9 -- A\nR2 10k A -- GND\nR3 1k P9 -- B\nR4 1k B -- GND"
    assert level(text, "powered", "B").uncertain == (f"R1 ({LOST})",)
    assert level(text, "powered", "P9").volts == pytest.approx(9.0, abs=0.01)


def test_a_window_that_is_not_found_is_not_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Too few of the boards drawn came to rest: the level stands, its window does not."""

    def lost(_: Standing, ends: Ints) -> tuple[Floats, Floats]:
        blank = np.full(len(ends), np.nan)
        return blank, blank

    monkeypatch.setattr("tracegraph.meter.live.level.healthy", lost)
    text = "ground GND\nrail P8 8V\nR3 1k P8 -- B\nR4 1k B -- GND"
    found = level(text, "powered", "B")
    assert found.shown == pytest.approx(4.0, abs=0.01)
    assert found.window is None
    page = plain_text(levels_page("bench", told(text)))
    assert "window not known" in page
    assert "inf" not in page
    assert "open" not in page


def test_a_base_with_nothing_on_it_floats_and_the_plug_decides() -> None:
    text = "ground GND\nrail P12 12V\nJ1 connector 1=B\nQ1 npn b=B c=C e=GND\nR1 1k P12 -- C"
    base = level(text, "powered", "B")
    assert base.floats
    assert base.volts is None
    assert base.plug == "J1"


def test_an_input_that_a_state_leaves_alone_is_driven_by_nothing() -> None:
    text = """
ground GND
rail P12 12V
input PWM 0V / 5V via 100R
Q1 npn b=PWM c=C e=GND
R1 1k P12 -- C
state idle P12=12V
"""
    assert level(text, "idle", "PWM").floats
    assert "PWM is driven by nothing in this state." in in_state(text, "idle").walk


def test_isolated_grounds_are_never_compared() -> None:
    text = """
ground A
ground B
rail P5 5V
rail V5 5V over B
U1 opto a=LA k=A c=OUT e=B
R1 1k P5 -- LA
R2 10k V5 -- OUT
"""
    assert level(text, "powered", "LA").ground == "A"
    out = level(text, "powered", "OUT")
    assert out.ground == "B"
    assert out.volts == pytest.approx(0.05, abs=0.1)  # 4 mA of light for 0.5 mA


def test_a_floating_drive_is_told_over_its_own_emitter() -> None:
    text = """
ground VN
rail VP 24V over VN
R1 1k5 VP -- EM
D1 zener 8V2 VN -> EM
R2 10k GATE -- EM
R3 22R VP -- GATE
Q1 igbt g=GATE c=COL e=EM
J1 connector 1=COL
"""
    live = in_state(text, "powered").live
    assert live
    (own,) = [one for one in live.own if one.net == "GATE"]
    assert own.ground == "EM"
    assert own.volts == pytest.approx(15.8, abs=0.3)


def test_an_input_is_driven_against_the_ground_on_its_own_side() -> None:
    # the hot side was written first; 5 V less the LED's 1.15 V over 330R and 100R
    text = """
ground HOT
ground LOGIC
rail P18 18V over HOT
input GO 0V / 5V via 100R
R1 330R GO -- A
U1 optodriver a=A k=LOGIC vee=HOT vcc=P18 out=DR
R2 10k DR -- HOT
state on GO=high
"""
    go = level(text, "on", "GO")
    assert go.ground == "LOGIC"
    assert go.volts == pytest.approx(5 - 100 * 3.85 / 430, abs=0.05)
    assert level(text, "on", "DR").volts == pytest.approx(17.7, abs=0.2)


def test_an_unknown_chips_output_may_go_as_high_as_what_feeds_the_chip() -> None:
    text = """
ground HOT
rail BUS 60V
R1 2k2 BUS -- VCC
D1 zener 20V HOT -> VCC
U1 ic 5=VCC 8=HOT 6=OUT
R2 10k OUT -- HOT
"""
    out = level(text, "powered", "OUT")
    assert out.volts is None
    assert out.high == pytest.approx(20.0, abs=0.6)
