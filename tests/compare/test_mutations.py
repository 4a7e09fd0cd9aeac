"""Random alterations of the examples: each is found, and nothing is invented."""

from pathlib import Path
from random import Random

import pytest

from tests.compare.judging import SILENT, judged, steps_of
from tests.compare.looks import same_board
from tests.compare.mutations import Mutated, disguised, mutated
from tracegraph.asking.api import read
from tracegraph.compare.compare import compare
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Remove
from tracegraph.stage.stage import Stage

EXAMPLES = {
    path.stem: read(path)
    for path in sorted((Path(__file__).parents[2] / "examples").glob("*.trace"))
}
MUTATIONS = 60


def example_and_mutant(case: int) -> tuple[str, Stage, Mutated, Stage]:
    """Return an example, what was done to it, and that as another hand traced it."""
    random = Random(case)
    name = random.choice(sorted(EXAMPLES))
    mutant = mutated(random, EXAMPLES[name], random.randint(1, 4))
    traced = disguised(random, mutant.stage, names=random.random() < 0.5)
    return name, EXAMPLES[name], mutant, traced


@pytest.mark.parametrize("case", range(MUTATIONS))
def test_every_alteration_is_found_and_none_invented(case: int) -> None:
    name, reference, mutant, traced = example_and_mutant(case)
    assert judged(reference, mutant, traced).found, (name, mutant.done)


@pytest.mark.parametrize("case", range(20))
def test_the_changes_lead_from_the_reference_to_what_was_traced(case: int) -> None:
    _, reference, _, traced = example_and_mutant(case)
    told = compare(traced, reference).differences
    assert same_board(apply(reference, steps_of(told)), traced)


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("names", [True, False])
def test_an_example_traced_by_another_hand_is_the_same(name: str, names: bool) -> None:
    again = disguised(Random(1), EXAMPLES[name], names=names)
    told = compare(again, EXAMPLES[name])
    assert {one.kind for one in told.differences} <= SILENT
    assert told.equal
    assert told.similarity == 1.0


def test_the_check_itself_can_fail() -> None:
    reference = EXAMPLES["treadmill-gate-drive"]
    traced = apply(reference, [Remove("R22")])
    wrong = Mutated(traced, ((Remove("R21"),),))
    assert not judged(reference, wrong, traced).found
    assert not same_board(reference, traced)
