"""The random sections are sections: read without an error, of every kind, the same."""

from collections import Counter

import pytest

from tests.draw.random_stage import SEEDS, random_section, random_stage
from tracegraph.diagnostics import Severity
from tracegraph.notation.source import from_text
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Status
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage


def stage_of(seed: int) -> Stage:
    return read(from_text(f"{seed}.trace", random_section(seed)))


@pytest.fixture(scope="module")
def stages() -> list[Stage]:
    return [stage_of(seed) for seed in range(SEEDS)]


def test_they_are_read_without_an_error(stages: list[Stage]) -> None:
    errors = [
        (seed, problem.message)
        for seed, stage in enumerate(stages)
        for problem in stage.problems
        if problem.severity is Severity.ERROR
    ]
    assert errors == []


def test_they_have_every_kind_of_part_and_of_find(stages: list[Stage]) -> None:
    parts = [part for stage in stages for part in stage.parts]
    assert {part.kind.word for part in parts} == set(KINDS)
    assert {part.status for part in parts} == set(Status)
    assert all(
        any(getattr(stage, what) for stage in stages)
        for what in ("links", "breaks", "rests", "untraced", "unplugged", "channels")
    )
    assert any(part.untraced for part in parts)
    assert any(not part.pinout for part in parts)
    assert any(len(set(part.pins.values())) < len(part.pins) for part in parts)


def test_they_go_from_nothing_to_crowded_nets(stages: list[Stage]) -> None:
    sizes = Counter(len(stage.parts) for stage in stages)
    assert {0, 1, 45} <= sizes.keys()
    assert max(len(pins) for stage in stages for pins in stage.nets.values()) > 10
    assert any(len(net) >= 30 for stage in stages for net in stage.nets)


@pytest.mark.parametrize("parts", [1, 7, 45, 200])
def test_a_seed_gives_one_text_with_the_parts_asked_for(parts: int) -> None:
    text = random_stage(3, parts)
    assert text == random_stage(3, parts)
    assert text != random_stage(4, parts)
    assert len(read(from_text("x.trace", text)).parts) == parts
