"""The readings by their short names."""

from itertools import permutations

import pytest

from tracegraph.diagnose.legs.step import FIXED, Step, UnknownStepError, Way, step_of


@pytest.mark.parametrize("way", list(Way))
def test_every_reading_is_called_by_its_key(way: Way) -> None:
    for red, black in permutations((1, 2, 3), 2):
        step = Step(red, black, way)
        assert step_of(step.key) == step
        assert step_of(f" {step.key.upper()} ") == step


def test_the_fixed_list_is_every_ordered_pair_once() -> None:
    assert sorted(one.key for one in FIXED) == ["12", "13", "21", "23", "31", "32"]
    assert len({one.key for one in FIXED}) == 6


@pytest.mark.parametrize(
    "key", ["", "11", "14", "123", "12+2", "12k11", "12k12", "12t1", "12x", "²1", "12-"]
)
def test_what_names_no_reading_is_refused(key: str) -> None:
    with pytest.raises(UnknownStepError, match="names no reading"):
        step_of(key)
