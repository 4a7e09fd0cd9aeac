"""What is up, and what comes first: potentials against a linear solve, levels by hand."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.draw.written import section_of
from tracegraph.draw.electric import OUTSIDE, WEAK, levels, potentials

Branch = tuple[str, str, float]
LADDER = """\
R1 1k P12 -- A
R2 1k A -- B
R3 1k B -- C
R4 1k A -- COM
C1 1u B -- COM
R5 1k C -- COM
"""
BRANCHES: list[Branch] = [
    ("P12", "A", 1.0),
    ("A", "B", 1.0),
    ("B", "C", 1.0),
    ("A", "COM", 1.0),
    ("B", "COM", WEAK),
    ("C", "COM", 1.0),
]


def solved(branches: list[Branch]) -> dict[str, float]:
    """Return the nodes' potentials with COM at 0 and P12 at 1, by Kirchhoff's law."""
    fixed = {"COM": 0.0, "P12": 1.0}
    names = [net for one in branches for net in one[:2] if net not in fixed]
    rows = {net: row for row, net in enumerate(dict.fromkeys(names))}
    matrix, right = np.zeros((len(rows), len(rows))), np.zeros(len(rows))
    for a, b, share in branches:
        for one, other in ((a, b), (b, a)):
            if one in rows:
                matrix[rows[one], rows[one]] += share
                if other in rows:
                    matrix[rows[one], rows[other]] -= share
                else:
                    right[rows[one]] += share * fixed[other]
    found = np.linalg.solve(matrix, right)
    return {net: float(found[row]) for net, row in rows.items()}


def test_a_ladder_stands_as_kirchhoff_says() -> None:
    ups = potentials(section_of(LADDER))
    for net, volts in solved(BRANCHES).items():
        assert ups[net] == pytest.approx(volts, abs=1e-3)


CHAINS = st.lists(st.sampled_from(("P12", "COM", "")), min_size=1, max_size=5)


@given(CHAINS)
def test_any_short_ladder_stands_so(legs: list[str]) -> None:
    """A chain from P12 to COM; from some joints a leg to either."""
    nets = ["P12", *(f"N{k}" for k in range(len(legs))), "COM"]
    pairs = list(pairwise(nets))
    pairs += [(f"N{k}", leg) for k, leg in enumerate(legs) if leg]
    lines = "".join(f"R{k} 1k {a} -- {b}\n" for k, (a, b) in enumerate(pairs))
    ups = potentials(section_of(lines))
    for net, volts in solved([(a, b, 1.0) for a, b in pairs]).items():
        assert ups[net] == pytest.approx(volts, abs=1e-3)


def test_a_pull_up_pulls_from_above_and_a_pull_down_from_below() -> None:
    ups = potentials(
        section_of("R1 10k P12 -- SIG\nR2 10k LOW -- COM\nR3 1k SIG -- LOW")
    )
    assert ups["P12"] > ups["SIG"] > ups["LOW"] > ups["COM"]


def test_what_hangs_on_one_rail_alone_hangs_on_its_inner_side() -> None:
    ups = potentials(section_of("R1 1k P12 -- A\nR2 1k B -- COM\n"))
    assert [ups["A"], ups["B"]] == pytest.approx([1, 0])
    assert (ups["P12"], ups["COM"]) == (1 + OUTSIDE, -OUTSIDE)


def test_rails_stand_in_the_order_of_their_volts_and_negative_ones_below() -> None:
    head = "ground COM\nrail P12 12V\nrail N8 -8V\nrail P5 5V\n"
    ups = potentials(section_of("R1 1k P12 -- N8\nR2 1k P5 -- COM\n", head))
    assert ups["P12"] > ups["P5"] > ups["COM"] > ups["N8"]


def test_a_capacitor_hardly_holds_its_net() -> None:
    ups = potentials(section_of("R1 1k P12 -- A\nC1 1u A -- COM\n"))
    assert ups["A"] == pytest.approx(1 / (1 + WEAK), abs=1e-3)


def test_a_signal_gains_a_step_at_each_part_and_none_over_a_rail() -> None:
    steps = levels(
        section_of(
            "input SPD 0V / 5V via 330R\n"
            "R1 4k7 SPD -- NB\n"
            "Q1 npn b=NB c=PULL e=COM\n"
            "R2 10k PULL -- PB\n"
            "R3 10k PB -- P12\n"
            "R4 10k P12 -- FAR\n"
        )
    )
    assert [steps[net] for net in ("SPD", "NB", "PULL", "PB")] == [0, 1, 2, 3]
    assert "P12" not in steps
    assert steps["FAR"] == 0  # nothing leads there: it begins anew


def test_a_signal_goes_in_at_the_base_and_never_back() -> None:
    steps = levels(
        section_of("input DRV 0V / 5V\nQ1 npn b=B c=DRV e=COM\nR1 1k B -- X\n")
    )
    assert steps["DRV"] == 0
    assert steps["B"] == 0  # not reached from the collector


def test_a_resistor_from_an_output_to_its_own_input_leads_back() -> None:
    fed = "input IN 0V / 5V\nR1 1k IN -- NEG\nR2 10k {} -- {}\n"
    amplifier = "U1 opamp out=OUT in-=NEG in+=COM gnd=COM vcc=P12\n"
    for ends in (("NEG", "OUT"), ("OUT", "NEG")):
        steps = levels(
            section_of(fed.format(*ends) + amplifier + "R3 1k OUT -- NEXT\n")
        )
        assert [steps[net] for net in ("IN", "NEG", "OUT", "NEXT")] == [0, 1, 2, 3]


def test_feedback_is_not_taken_for_the_signal() -> None:
    """A non-inverting amplifier: its feedback net comes before the output, not after."""
    steps = levels(
        section_of(
            "input IN 0V / 5V\n"
            "U1 opamp out=OUT in-=NEG in+=IN gnd=COM vcc=P12\n"
            "R1 10k OUT -- NEG\n"
            "R2 1k NEG -- COM\n"
        )
    )
    assert [steps[net] for net in ("IN", "NEG", "OUT")] == [0, 0, 1]
