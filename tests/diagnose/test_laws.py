"""Laws of a verdict: order and names change nothing, chances are chances."""

from collections.abc import Mapping
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.diagnose.simulated import HANDHELD, Bench, with_readings
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Verdict
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.change import Change, Cut, Permute, Tie, Vary
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode, Reading
from tracegraph.stage.stage import Stage

TEXT = """\
ground {COM}
{R1} 4k7  {IN} -- {B}
{R2} 22k  {B} -- {COM}
{Q1} npn  b={B} c={C} e={COM}
{R3} 1k   {C} -- {IN}
{D1} diode {C} -> {COM}
"""
NAMES = ("COM", "IN", "B", "C", "R1", "R2", "R3", "Q1", "D1")
PLAIN = {name: name for name in NAMES}
PROBED = (
    ("B", "COM", Mode.DIODE),
    ("COM", "C", Mode.DIODE),
    ("C", "COM", Mode.DIODE),
    ("IN", "C", Mode.OHMS),
    ("IN", "B", Mode.OHMS),
)
WRONG: list[tuple[Change, ...]] = [
    (),
    (Cut(Pin("R3", "1")),),
    (Tie("B", "COM", 120.0),),
    (Tie("C", "COM"),),
    (Permute("D1", {"a": "k", "k": "a"}),),
    (Vary("R1", "r", exact(47e3, "ohm")),),
]
wrong = st.sampled_from(range(len(WRONG)))


def section(names: Mapping[str, str]) -> Stage:
    return read(from_text("x", TEXT.format(**names)))


@cache
def plain() -> Inquiry:
    return Inquiry(section(PLAIN), HANDHELD)


@cache
def taken(place: int, seed: int = 1) -> tuple[Reading, ...]:
    return Bench(section(PLAIN), WRONG[place], seed=seed).log(PROBED)


def judged(readings: tuple[Reading, ...]) -> Verdict:
    return plain().verdict(with_readings(plain().stage, readings))


def chances(verdict: Verdict) -> dict[tuple[frozenset[str], str], float]:
    """Return the chance of everything that is told, by its parts, nets and kind."""
    found: dict[tuple[frozenset[str], str], float] = {}
    for group in verdict.groups:
        for one in group.suspects:
            key = frozenset({*one.parts, *one.nets}), one.name
            found[key] = found.get(key, 0.0) + one.chance
    return found


@settings(max_examples=4)
@given(wrong, st.permutations(range(len(PROBED))))
def test_the_order_of_readings_changes_nothing(place: int, order: list[int]) -> None:
    readings = taken(place)
    one, other = judged(readings), judged(tuple(readings[k] for k in order))
    assert other.state is one.state
    assert other.healthy == pytest.approx(one.healthy, abs=1e-6)
    assert chances(other) == pytest.approx(chances(one), abs=1e-4)


@settings(max_examples=3)
@given(wrong, st.permutations(range(len(NAMES))))
def test_names_change_nothing(place: int, order: list[int]) -> None:
    nets = [name for name in NAMES if name[-1].isalpha()]
    names = {name: f"N{order[k]}" for k, name in enumerate(nets)}
    rest = [name for name in NAMES if name not in nets]
    names |= {name: f"{name[0]}{40 + order[-k - 1]}" for k, name in enumerate(rest)}
    renamed = tuple(
        one._replace(red=names[one.red], black=names[one.black]) for one in taken(place)
    )
    stage = section(names)
    one = judged(taken(place))
    other = Inquiry(stage, HANDHELD).verdict(with_readings(stage, renamed))
    assert other.state is one.state
    assert other.healthy == pytest.approx(one.healthy, abs=1e-6)
    expected = {
        (frozenset(names[name] for name in about), kind): chance
        for (about, kind), chance in chances(one).items()
    }
    assert chances(other) == pytest.approx(expected, abs=1e-4)


@settings(max_examples=5)
@given(wrong, st.integers(1, 4))
def test_chances_are_chances(place: int, seed: int) -> None:
    verdict = judged(taken(place, seed))
    told = sum(group.chance for group in verdict.groups)
    assert 0 <= verdict.healthy <= 1
    assert 0.95 < told + verdict.healthy <= 1 + 1e-9
    assert all(0 < one <= 1 for one in chances(verdict).values())


@settings(max_examples=3)
@given(wrong)
def test_a_reading_that_fits_speaks_for_nothing_else(place: int) -> None:
    """The very same reading taken twice makes the likeliest no less likely."""
    readings = taken(place)
    one, two = judged(readings), judged((*readings, *readings))
    leading = max(one.healthy, *(group.chance for group in one.groups))
    if leading > 0.9:
        assert max(two.healthy, *(group.chance for group in two.groups)) > 0.85
        assert (two.healthy > 0.5) == (one.healthy > 0.5)
