"""Sections of our own for the scope, and a shorthand to ask for their waves."""

from functools import cache
from pathlib import Path

from tracegraph.asking.bench import bench_of
from tracegraph.asking.sources import source_of
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import on_bench
from tracegraph.waves.result import Wave
from tracegraph.waves.wave import wave

TREADMILL = Path("examples/treadmill-gate-drive.trace")
# A 3.3 V controller, a driver chip, and the gate of a pump's MOSFET at 15 V.
PUMP = """
stage "pump driver"
ground COM
rail P15 15V
rail BUS 48V
input PWM 0V / 3.3V via 220R 20kHz 88%
U1 driver in=PWM out=OUT gnd=COM vcc=P15 rout=5R
R1 10R OUT -- GATE
R2 10k GATE -- COM
Q1 nfet g=GATE d=SW s=COM vgsth=3V ciss=1n5 crss=40p qg=40n rating 100V 30A
D1 fast SW -> BUS
"""
# The same gate at a controller's pin, without a driver: a logic-level type.
BARE = """
ground COM
rail BUS 48V
input PWM 0V / 5V via 250R 20kHz 50%
R2 10k PWM -- COM
Q1 nfet g=PWM d=SW s=COM vgsth=2V rdson=20m@4.5V ciss=1n5 crss=40p qg=40n
R3 load 48R BUS -- SW
"""


def section(text: str) -> Stage:
    return read(from_text("text", text))


@cache
def treadmill() -> Stage:
    return read(source_of(TREADMILL))


@cache
def scope(text: str, net: str, *tail: str) -> Wave:
    """Return the wave at a net of a section, or of the treadmill board."""
    stage = section(text) if text else treadmill()
    return wave(
        stage, net, bench_of(stage, " ".join(tail)) if tail else None, periods=2
    )


@cache
def altered(net: str, *tail: str) -> Wave:
    """Return the wave of the treadmill board altered, without the healthy one."""
    condition = bench_of(treadmill(), " ".join(tail))
    return wave(on_bench(treadmill(), condition), net, periods=2)
