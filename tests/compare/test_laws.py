"""Laws of a comparison: with itself nothing differs, and its changes can be made."""

from dataclasses import replace

from hypothesis import given, settings

from tests.compare.judging import SILENT, steps_of
from tests.strategies import stages
from tracegraph.compare.compare import compare
from tracegraph.compare.comparison import Difference, DifferenceKind
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Tie
from tracegraph.stage.stage import Stage


@given(stages())
@settings(max_examples=30)
def test_a_section_does_not_differ_from_itself(stage: Stage) -> None:
    told = compare(stage, stage)
    assert {one.kind for one in told.differences} <= SILENT
    assert told.cost == 0


@given(stages())
@settings(max_examples=20)
def test_the_order_of_parts_tells_nothing(stage: Stage) -> None:
    turned = replace(stage, parts=tuple(reversed(stage.parts)))
    assert compare(turned, stage).cost == 0


@given(stages(5), stages(5))
@settings(max_examples=20)
def test_every_change_can_be_made_alone_and_together(one: Stage, other: Stage) -> None:
    told = compare(one, other)
    for each in told.differences:
        if not _may_hang_on_an_extra_part(each):
            apply(other, each.changes)
    after = apply(other, steps_of(told.differences))
    assert compare(one, after).cost <= told.cost


def _may_hang_on_an_extra_part(one: Difference) -> bool:
    leak = any(isinstance(change, Tie) and change.ohms for change in one.changes)
    return leak or one.kind is DifferenceKind.EXTRA
