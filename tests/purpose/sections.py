"""Small sections whose answers a person works out on a scrap of paper."""

from functools import cache
from pathlib import Path

from tracegraph.notation.source import from_bytes, from_text
from tracegraph.purpose.purpose import purpose
from tracegraph.purpose.result import Deed, Finding, Purpose, Rank
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[2] / "examples"

# A transistor that switches a relay, as every second board has it.
RELAY = """
ground COM
rail P12 12V
input ON 0V / 5V via 100R
R1 2k2 ON -- B
R2 10k B -- COM
Q1 npn b=B c=COIL e=COM
K1 relay 270R a1=P12 a2=COIL
D1 diode COIL -> P12
state off ON=low
state on ON=high
"""
# A divider of two, and a second resistor beside its lower one.
DIVIDER = """
ground COM
rail P5 5V
R1 10k P5 -- TAP
R2 10k TAP -- COM
R3 10k TAP -- COM
J1 connector 1=TAP
"""


@cache
def section(text: str) -> Stage:
    return read(from_text("section", text))


@cache
def example(name: str) -> Stage:
    path = EXAMPLES / f"{name}.trace"
    return read(from_bytes(path.name, path.read_bytes()))


@cache
def part_of(text: str, ref: str) -> Purpose:
    (found,) = purpose(section(text), [ref]).parts
    return found


def changes(
    found: Purpose, rank: Rank, deed: Deed = Deed.WITHOUT
) -> tuple[Finding, ...]:
    return tuple(one for one in found.findings if one.rank is rank and one.deed is deed)
