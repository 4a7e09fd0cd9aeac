"""Bias points of textbooks, asked of the tool as a technician writes them."""

import pytest

from tests.levels.told import level

SHARP = "vbe=0.7V@1mA slope=5mV hfe=100"
"""A textbook's fixed 0.7 V: the drop moves 5 mV a decade of current."""

# Sedra & Smith, Microelectronic Circuits, worked examples on BJT circuits at DC, VBE
# 0.7 V, beta 100 (from memory); answers there to two or three digits.
ACTIVE = f"""
ground GND
rail VCC 10V
rail VB 4V
R1 4k7 VCC -- C
R2 3k3 E -- GND
Q1 npn b=VB c=C e=E {SHARP}
"""
SATURATED = ACTIVE.replace("VB 4V", "VB 6V")
DIVIDER = f"""
ground GND
rail VCC 15V
R1 100k VCC -- B
R2 50k B -- GND
R3 5k VCC -- C
R4 3k E -- GND
Q1 npn b=B c=C e=E {SHARP}
"""
PNP = f"""
ground GND
rail VP 10V
rail VN -10V
R1 2k VP -- E
R2 1k C -- VN
Q1 pnp b=GND c=C e=E {SHARP}
"""
# The same book's MOSFET: k'W/L 1 mA/V2, Vt 1 V. A data sheet says that as an
# on-resistance: 1 / (1 mA/V2 x 9 V) at 10 V of gate.
MOSFET = """
ground GND
rail VDD 10V
R1 10M VDD -- G
R2 10M G -- GND
R3 6k VDD -- D
R4 6k S -- GND
Q1 nfet g=G d=D s=S vgsth=1V rdson=111.1R@10V
"""


@pytest.mark.parametrize(
    ("text", "net", "volts", "within"),
    [
        (ACTIVE, "E", 3.3, 0.01),
        (ACTIVE, "C", 5.3, 0.05),  # IC 0.99 mA
        (SATURATED, "E", 5.3, 0.01),
        (SATURATED, "C", 5.5, 0.22),  # VCEsat 0.2 there; a sharp junction has less
        (DIVIDER, "B", 4.57, 0.03),
        (DIVIDER, "C", 8.6, 0.05),
        (PNP, "E", 0.7, 0.01),
        (PNP, "C", -5.4, 0.05),
        (MOSFET, "S", 3.0, 0.1),
        (MOSFET, "D", 7.0, 0.1),
    ],
)
def test_a_bias_point_is_the_textbooks(
    text: str, net: str, volts: float, within: float
) -> None:
    assert level(text, "powered", net).volts == pytest.approx(volts, abs=within)


def test_a_meter_pulls_down_the_middle_of_a_sense_chain() -> None:
    # 3 x 1M + 10k at 400 V through 10 M: worked out by hand, common practice, no source.
    chain = "ground N\nrail P 400V\nchain P -- R1 1M -- A -- R2 1M -- B -- R3 1M -- T\nR4 10k T -- N"
    found = [level(chain, "powered", net) for net in "ABT"]
    assert [one.volts for one in found] == pytest.approx(
        [267.1, 134.2, 1.329], rel=1e-3
    )
    assert [one.shown for one in found] == pytest.approx(
        [250.4, 125.8, 1.328], rel=1e-3
    )
    assert [one.loaded for one in found] == [True, True, False]


def test_a_gate_divider_of_megohms_is_read_through_the_meter() -> None:
    gate = level(MOSFET, "powered", "G")
    assert gate.volts == pytest.approx(5.0, abs=1e-3)
    assert gate.shown == pytest.approx(
        5.0 * 10 / 15, rel=1e-3
    )  # 5 M behind, 10 M on it
