"""Several things wrong at once, where no single one explains the readings."""

from tests.diagnose.simulated import HANDHELD, Bench, with_readings
from tests.diagnose.treadmill import SENSIBLE, TREADMILL, judged, taken
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Sort, Verdict
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.change import Tie, Vary
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode

D, O = Mode.DIODE, Mode.OHMS  # noqa: E741 - as the dial says
SWITCH = """\
ground COM
Q1  nfet  g=G d=D s=COM
R1  22R   G -- DRV
R2  10k   G -- COM
R3  100k  D -- COM
"""


def parts_of(verdict: Verdict, groups: int = 3) -> list[set[str]]:
    """Return what each of the first suspects blames."""
    return [{*one.parts} for group in verdict.groups[:groups] for one in group.suspects]


def test_two_parts_are_found_together() -> None:
    stage, parts = read(from_text("x", SWITCH)), {"R2", "R3"}
    wrong = (Vary("R2", "r", exact(47e3, "ohm")), Vary("R3", "r", exact(15e3, "ohm")))
    probed = [("G", "COM", O), ("DRV", "COM", O), ("D", "COM", O), ("D", "DRV", O)]
    readings = Bench(stage, wrong, seed=3).log(probed)
    verdict = Inquiry(stage, HANDHELD).verdict(with_readings(stage, readings))
    assert verdict.healthy < 0.05
    together = [
        one
        for group in verdict.groups[:3]
        for one in group.suspects
        if parts <= {*one.parts}
    ]
    assert {one.sort for one in together} == {Sort.SEVERAL}
    assert all(" and " in one.words for one in together)


def test_a_switch_that_died_is_shorted_between_all_its_legs() -> None:
    """Common practice, no source: a dead power switch reads next to nothing all round."""
    stage = read(from_text("x", SWITCH))
    dead = (Tie("G", "COM"), Tie("D", "COM"))
    probed = [("G", "COM", D), ("D", "COM", D), ("COM", "D", D), ("G", "D", O)]
    readings = Bench(stage, dead).log([*probed, ("DRV", "COM", O)])
    verdict = Inquiry(stage, HANDHELD).verdict(with_readings(stage, readings))
    assert {"Q1"} in parts_of(verdict, 1)
    assert verdict.groups[0].chance > 0.9
    assert verdict.doubtful == ()


def test_one_thing_is_preferred_to_two() -> None:
    verdict = judged(taken((Tie("COM", "GD", 40.0),), seed=2))
    single = sum(
        one.chance
        for group in verdict.groups
        for one in group.suspects
        if one.sort is not Sort.SEVERAL
    )
    assert single > 0.9


def test_several_are_not_asked_for_where_one_explains_all() -> None:
    verdict = judged(taken(seed=11))
    assert len(verdict.readings) == len(SENSIBLE)
    every = [one for group in verdict.groups for one in group.suspects]
    assert Sort.SEVERAL not in {one.sort for one in every}
    assert len(TREADMILL.parts) >= len({ref for one in every for ref in one.parts})
