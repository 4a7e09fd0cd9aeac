"""Readings written as at the bench, and their answer."""

from collections.abc import Callable

import pytest

from tracegraph.diagnose.legs.answer import LegsAnswer, answer
from tracegraph.diagnose.legs.step import step_of
from tracegraph.diagnose.legs.taken import Taken, taken
from tracegraph.meter.profile_file import built_in

METER = built_in()["handheld"]


def read(text: str) -> list[Taken]:
    """Return readings such as `12=0.655 21=OL`."""
    pairs = (word.split("=") for word in text.split())
    return [taken(step_of(key), shown, METER) for key, shown in pairs]


@pytest.fixture
def told() -> Callable[[str], LegsAnswer]:
    """Return what is answered to readings."""
    return lambda text: answer(read(text), METER)
