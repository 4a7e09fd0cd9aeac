"""What the trade knows of bad parts, in circuits of our own.

Common practice, no source, unless another is named.
"""

from collections.abc import Sequence
from math import exp, log

import pytest

from tests.diagnose.simulated import HANDHELD
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import State, Verdict
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read

# A gate's turn-off helper, its legs by themselves but for what the stage hangs on them.
HELPER = """\
ground COM
rail P12 12V
rest P12 -- COM none
R1   4k7  P12 -- DRV
D1   diode DRV -> GD
Q5   pnp  b=DRV e=GD c=COM
R2   22R  GD -- GATE
R3   47k  GATE -- COM
"""
BARE = """\
ground COM
Q5   pnp  b=DRV e=GD c=COM
R1   1M   DRV -- COM
R3   1M   GD -- COM
"""


def judged(section: str, *lines: str) -> Verdict:
    stage = read(from_text("x", section + "\n".join(lines) + "\n"))
    assert [one for one in stage.problems if one.severity == "error"] == []
    return Inquiry(stage, HANDHELD).verdict(stage)


def both_ways(volts: Sequence[str]) -> list[str]:
    """Return a log of three pairs, each reading the same with the probes exchanged."""
    pairs = (("GD", "DRV"), ("COM", "DRV"), ("GD", "COM"))
    lines = ["readings"]
    for (red, black), shown in zip(pairs, volts, strict=True):
        lines += [f"  diode {red} {black} {shown}", f"  diode {black} {red} {shown}"]
    return lines


LEAKY = both_ways(("0.658", "0.593", "0.833"))
AFTER = [
    "replaced Q5 pnp",
    "readings",
    "  diode GD DRV 0.658",
    "  diode COM DRV 0.656",
    "  diode DRV GD OL",
    "  diode DRV COM OL",
    "  diode COM GD OL",
]


@pytest.fixture(scope="module")
def leaky() -> Verdict:
    return judged(BARE, *LEAKY)


def test_a_pnp_that_reads_both_ways_is_to_be_replaced(leaky: Verdict) -> None:
    """0.658 / 0.593 / 0.833 V over its pairs in both directions: leaky, replace."""
    assert leaky.healthy < 0.01
    top = leaky.groups[0].suspects
    assert {ref for one in top for ref in one.parts} == {"Q5"}
    assert any("Q5 leaky" in one.words for one in top)
    assert leaky.state is not State.HEALTHY


def test_after_it_was_replaced_the_board_is_healthy() -> None:
    """0.656 and 0.658 one way, nothing the other."""
    verdict = judged(BARE, *LEAKY, *AFTER)
    assert verdict.state is State.HEALTHY
    assert len(verdict.readings) == 11
    assert "replaced since" in verdict.words


def test_a_good_pnp_is_good() -> None:
    verdict = judged(BARE, *AFTER[1:])
    assert verdict.state is State.HEALTHY


def test_a_missed_path_makes_no_bad_part() -> None:
    """A path across reads low one way and the other, the parts being good."""
    verdict = judged(
        HELPER,
        "not traced GATE",
        "readings",
        "  ohms GATE COM 4.27k",  # 4.7 k and 47 k side by side
        "  diode GD DRV 0.66",
        "  ohms GD GATE 22.2",
    )
    assert verdict.state is not State.FOUND
    top = verdict.groups[0]
    assert any(one.name == "missed path" for one in top.suspects)
    assert "GATE" in top.check


def test_a_low_ohm_loop_across_a_diode_condemns_nothing() -> None:
    """A winding across its flyback diode hides it: the diode is not tested, not bad."""
    verdict = judged(
        "ground COM\nrail P12 12V\nrest P12 -- COM none\n"
        "K1 relay 270R a1=P12 a2=C\nD1 diode C -> P12\nQ1 npn b=B c=C e=COM\nR1 10k B -- COM\n",
        "readings",
        "  diode C P12 0.268",
        "  diode P12 C 0.268",
        "  ohms P12 C 268",
        "  diode B COM 0.64",
    )
    assert verdict.state is State.HEALTHY
    blamed = {ref for g in verdict.groups for one in g.suspects for ref in one.parts}
    assert "D1" not in blamed


def test_a_resistor_can_only_read_lower_in_circuit() -> None:
    """What reads higher than its value is open or risen, whatever lies across."""
    verdict = judged(
        "ground COM\nR1 10k A -- COM\nR2 22k A -- B\nR3 22k B -- COM\n",
        "readings",
        "  ohms A COM 44.1k",
        "  ohms A COM 44.0k",
        "  ohms B COM 21.9k",
    )
    assert verdict.healthy < 0.2
    suspects = [one.words for group in verdict.groups[:2] for one in group.suspects]
    assert "R1 open" in suspects
    assert "reads high" in verdict.groups[0].evidence[0].words or any(
        "reads high" in one.words for one in verdict.odd
    )


def test_a_part_at_the_edge_of_its_tolerance_is_good() -> None:
    """A 10 k 5 % part at +4.9 %, read through six pairs, is as likely good as before.

    Taken as independent the same six readings would call it drifted.
    """
    lines = ["ground COM", "R1 10k 5% B -- COM"]
    lines += ["R2 1R A -- B", "R3 1R C -- B", "R4 1R COM -- D"]
    log_lines = ["readings"]
    for red in "ABC":
        log_lines += [f"  ohms {red} {black} 10.49k" for black in ("COM", "D")]
    verdict = judged("\n".join(lines) + "\n", *log_lines)
    assert verdict.state is State.HEALTHY
    drifted = [
        one.chance
        for group in verdict.groups
        for one in group.suspects
        if one.words.startswith("R1 drifted")
    ]
    assert sum(drifted) < exp(log(0.05))


def test_every_resistor_of_a_ladder_is_found_open() -> None:
    """Series and parallel by hand: the reading at A with one of them gone."""
    section = "ground COM\nR1 1k A -- B\nR2 1k B -- COM\nR3 10k A -- COM\n"
    for ref, ohms in (("R3", "2.00k"), ("R1", "10.00k")):
        verdict = judged(
            section, "readings", f"  ohms A COM {ohms}", f"  ohms A COM {ohms}"
        )
        words = [one.words for group in verdict.groups[:2] for one in group.suspects]
        assert f"{ref} open" in words


def test_what_reads_the_same_with_a_new_part_is_not_the_part() -> None:
    """A path across the transistor stays when the transistor is changed."""
    low = [
        "readings",
        "  diode GD COM 0.30",
        "  diode COM GD 0.30",
        "  ohms GD COM 300",
    ]
    before = judged(BARE, *low)
    after = judged(BARE, *low, "replaced Q5 pnp", *low)

    def chance(verdict: Verdict, name: str) -> float:
        return sum(
            one.chance
            for group in verdict.groups
            for one in group.suspects
            if one.name == name
        )

    assert chance(before, "leaky c-e") > 0.1
    assert chance(after, "leaky c-e") < 0.01
    assert chance(after, "missed path") > 0.9


def test_pins_exchanged_in_the_file_stay_so_with_a_new_part() -> None:
    wrong = [
        "readings",
        "  diode DRV GD 0.70",
        "  diode COM GD 0.70",
        "  diode GD DRV OL",
        "  diode COM DRV OL",
    ]
    verdict = judged(BARE, *wrong, "replaced Q5 pnp", *wrong)
    top = verdict.groups[0].suspects[0]
    assert (top.name, verdict.state) == ("pins exchanged", State.TRACING)
