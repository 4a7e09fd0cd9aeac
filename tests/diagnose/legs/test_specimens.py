"""Random healthy and failed parts under a meter with its own error."""

import os
from itertools import permutations

import pytest

from tests.diagnose.legs.conftest import METER
from tests.diagnose.legs.specimen import Specimen
from tracegraph.diagnose.legs.answer import Health, LegsAnswer, answer
from tracegraph.diagnose.legs.belief import Guess, world
from tracegraph.diagnose.legs.candidate import CANDIDATES, Candidate
from tracegraph.diagnose.legs.choose import next_step
from tracegraph.diagnose.legs.group import loose
from tracegraph.diagnose.legs.step import FIXED
from tracegraph.diagnose.legs.taken import Taken
from tracegraph.stage.change import Tie
from tracegraph.stage.kind import Fault

DRAWS = int(os.environ.get("LEGS_DRAWS", "2"))  # specimens a kind, 6 for every order
SETTLED = 0.99
ORDERS = tuple((a, b, c) for a, b, c in permutations((0, 1, 2)))
USUAL = [
    one
    for one in CANDIDATES
    if one.kind.word in {"npn", "pnp", "nfet", "pfet", "commonanode", "seriesdiodes"}
    and not one.title
]

QUICK = [one for one in USUAL if one.kind.word in {"pnp", "seriesdiodes"}]


def name_of(candidate: Candidate) -> str:
    return "-".join((candidate.kind.word, *candidate.title.split(), *candidate.given))


def session(specimen: Specimen) -> LegsAnswer:
    """Return the answer after every reading that was asked for."""
    readings: list[Taken] = []
    while (step := next_step(readings, METER)) is not None:
        readings.append(specimen.read(step))
    return answer(readings, METER)


def after_six(specimen: Specimen) -> list[Guess]:
    return world(METER).guesses([specimen.read(step) for step in FIXED])


@pytest.mark.parametrize("candidate", CANDIDATES, ids=name_of)
def test_six_readings_never_lose_what_the_part_is(candidate: Candidate) -> None:
    for number in range(DRAWS):
        order = ORDERS[(number + len(candidate.name)) % 6]
        specimen = Specimen(candidate, order, (), number, METER)
        found = after_six(specimen)
        assert any(
            (one.name, one.roles) == (candidate.name, specimen.roles) for one in found
        )
        by_name: dict[str, float] = {}
        for one in found:
            by_name[one.name] = by_name.get(one.name, 0.0) + one.chance
        wrong = {name for name, chance in by_name.items() if chance >= SETTLED}
        assert wrong <= {candidate.name}


@pytest.mark.parametrize("candidate", USUAL if DRAWS > 2 else QUICK, ids=name_of)
def test_a_session_names_a_usual_part_and_its_pins(candidate: Candidate) -> None:
    order = ORDERS[len(candidate.name) % 6]
    specimen = Specimen(candidate, order, (), 7, METER)
    found = session(specimen)
    assert found.health is Health.HEALTHY
    assert any(
        one.name == candidate.name and one.legs == specimen.roles
        for one in found.possible
    )
    assert found.kind in {candidate.name, ""}


def ties(candidate: Candidate) -> list[Fault]:
    faults = candidate.kind.faults(loose(candidate))
    return [one for one in faults if isinstance(one.changes[0], Tie)]


HIDDEN = [(one, fault) for one in CANDIDATES for fault in ties(one)]


@pytest.mark.parametrize(
    ("candidate", "fault"), HIDDEN, ids=lambda one: getattr(one, "name", "")
)
def test_six_readings_never_lose_a_short_or_leak(
    candidate: Candidate, fault: Fault
) -> None:
    specimen = Specimen(candidate, ORDERS[1], fault.changes, 50, METER)
    found = after_six(specimen)
    assert any((one.name, one.health) == (candidate.name, fault.name) for one in found)


TRANSISTORS = [
    (one, fault)
    for one, fault in HIDDEN
    if one in USUAL and one.kind.word in {"npn", "pnp"}
]


@pytest.mark.parametrize(
    ("candidate", "fault"), TRANSISTORS, ids=lambda one: getattr(one, "name", "")
)
def test_a_short_or_leak_of_one_kilohm_is_faulty(
    candidate: Candidate, fault: Fault
) -> None:
    specimen = Specimen(candidate, ORDERS[4], fault.changes, 2, METER)
    assert session(specimen).health is Health.FAULTY


@pytest.mark.parametrize("leak", [3.3e3, 100e3])
def test_a_leak_that_the_diode_test_cannot_see_is_asked_for_in_ohms(
    leak: float,
) -> None:
    specimen = Specimen(USUAL[0], ORDERS[3], (Tie("c", "e", leak),), 3, METER)
    found = session(specimen)
    assert found.health is Health.FAULTY
    assert found.possible[0].faults[0] == "leaky c-e"
