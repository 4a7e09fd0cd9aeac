"""What is written of a section reads back as the same section."""

from pathlib import Path

import pytest
from hypothesis import given

from tests.plain import understood
from tests.strategies import section_texts
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage
from tracegraph.stage.write import write

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.trace"))


def section(text: str) -> Stage:
    return read(from_text("bench.trace", text))


def again(stage: Stage) -> Stage:
    return read(from_text("again.trace", write(stage)))


@given(section_texts())
def test_any_section_reads_back_as_it_was(text: str) -> None:
    stage = section(text)
    assert understood(again(stage)) == understood(stage)


@given(section_texts())
def test_writing_settles_at_once(text: str) -> None:
    first = write(section(text))
    assert write(section(first)) == first


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_reads_back_as_it_was(path: Path) -> None:
    stage = read(from_bytes(path.name, path.read_bytes()))
    assert understood(again(stage)) == understood(stage)


BENCH = """\
stage "gate drive"
ground COM E1
rail P12 12V
rail BUS 320V over E1
rest P12 -- COM diode 0.45 / OL
rest P12 -- COM 470u
input PWM 0V / 5V via 220R 18kHz 45%
R1 about 0R22 burnt P12 -- HOT
R2 47R marked "470" HOT -- GATE note "brown"
T1.pri 0R8 BUS -- HOT 60 turns dot HOT
U7.A comparator out/1=GATE in-/2=PWM in+/3=HOT gnd/4=COM vcc/8=P12
Q6.e not traced
Q6 npn digital b=GATE c=HOT r1=10k
TP1 GATE
D3 zener 15V COM -- GATE
U9 ic "VREF"=GATE 2=COM
touched R2 Q6 "resoldered"
break GATE at R2.2
nothing on PWM
state run PWM=high
readings "as received" meter "handheld" without Q6
  ohms GATE COM > 20M
  ohms GATE COM climbs 2k
  ohms GATE COM 1k0
  ohms GATE COM 1
  diode GATE COM 482 lifted R2.1
  beep GATE COM yes
  capacitance GATE COM 2.20n joined GATE COM
  volts GATE COM -0.02 in run after 10s
  diode GATE COM .5 with C99 3n3 GATE -- COM
replaced Q6 npn "BC847" hfe=300
removed R2
"""


def test_everything_that_can_be_written_comes_back() -> None:
    stage = section(BENCH)
    assert understood(again(stage)) == understood(stage)


CHANNELS = """\
ground COM
rail P15 15V
channel U
  input U_IN 0V / 5V
  R31 10R U_IN -- U_GATE
  R32 10k U_GATE -- COM
  C31 1u P15 -> BOOT
  R33 1k BOOT -- U_GATE
end
channel V like U R31=R41 R32=R42 C31=C41 R33=R43 BOOT=BST except R41 22R 1%, R42 absent
"""


def test_a_sister_channel_comes_back_as_one_line() -> None:
    text = write(section(CHANNELS))
    line = next(line for line in text.splitlines() if " like " in line)
    assert line == (
        "channel V like U R31=R41 R32=R42 C31=C41 R33=R43 BOOT=BST "
        "except R41 22R 1%, R42 absent"
    )
    assert understood(section(text)) == understood(section(CHANNELS))


def test_an_altered_sister_is_written_out() -> None:
    stage = section(CHANNELS + "R99 1k BST -- COM\n")
    text = write(stage)
    assert understood(section(text))["parts"] == understood(stage)["parts"]
