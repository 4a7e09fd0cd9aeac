"""Cells shifted up or down until wires that nearly run straight do."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from tracegraph.draw.shapes import Box

ROUNDS = 6
BENT = 3.0
"""What a wire that isn't straight costs beside its jog."""


class Tie(NamedTuple):
    """A wire between two cells that should run straight.

    Attributes:
        one: A cell's number.
        other: Another's.
        jog: How much lower the wire leaves `one` than it reaches `other`.
        weight: How much that matters.
    """

    one: int
    other: int
    jog: int
    weight: float


def shifts(frames: Sequence[Box], ties: Sequence[Tie]) -> list[int]:
    """Return how far down each cell is to be moved.

    Args:
        frames: What each cell covers with the room that it wants around it.
        ties: The wires between them.
    """
    found = [0] * len(frames)
    beside: dict[int, list[Tie]] = {}
    for tie in ties:
        beside.setdefault(tie.one, []).append(tie)
        beside.setdefault(tie.other, []).append(tie)
    above = _above(frames)
    for _ in range(ROUNDS):
        moved = False
        for tie in ties:
            jog = _jog(tie, found)
            if jog:
                moved |= _unbend(frames, above, beside, found, (tie, jog))
        if not moved:
            break
    return found


def _above(frames: Sequence[Box]) -> list[list[int]]:
    """Return for each cell the others that it may come to lie on, moved up or down."""
    return [
        [
            other
            for other, its in enumerate(frames)
            if other != cell and own.left < its.right and its.left < own.right
        ]
        for cell, own in enumerate(frames)
    ]


def _jog(tie: Tie, by: Sequence[int]) -> int:
    return tie.jog + by[tie.one] - by[tie.other]


def _unbend(
    frames: Sequence[Box],
    above: Sequence[Sequence[int]],
    beside: Mapping[int, Sequence[Tie]],
    by: list[int],
    bent: tuple[Tie, int],
) -> bool:
    """Move one side of a wire or the other, if that is better on the whole."""
    tie, jog = bent
    near, far = {tie.one}, {tie.other}
    sides = [
        (far, jog),
        (near, -jog),
        (_along(beside, by, tie.other, tie), jog),
        (_along(beside, by, tie.one, tie), -jog),
    ]
    sign = 1 if jog > 0 else -1
    for less in range(abs(jog) - 1, 0, -1):
        sides += [(far, sign * less), (near, -sign * less)]
    best: tuple[float, set[int], int] | None = None
    for group, step in sides:
        if (tie.one in group) is (tie.other in group):
            continue
        gain = _gain(beside, by, group, step)
        better = gain > 1e-9 and (best is None or gain > best[0])
        if better and _fits(frames, above, by, group, step):
            best = gain, group, step
    if best is None:
        return False
    for cell in best[1]:
        by[cell] += best[2]
    return True


def _along(
    beside: Mapping[int, Sequence[Tie]], by: Sequence[int], start: int, but: Tie
) -> set[int]:
    """Return the cells that hang on one by straight wires."""
    found, queue = {start}, [start]
    while queue:
        cell = queue.pop()
        for tie in beside.get(cell, ()):
            other = tie.other if tie.one == cell else tie.one
            if tie is not but and other not in found and not _jog(tie, by):
                found.add(other)
                queue.append(other)
    return found


def _gain(
    beside: Mapping[int, Sequence[Tie]],
    by: Sequence[int],
    group: Iterable[int],
    step: int,
) -> float:
    inside = set(group)
    gain = 0.0
    for cell in inside:
        for tie in beside.get(cell, ()):
            if (tie.one in inside) is not (tie.other in inside):
                jog = _jog(tie, by)
                after = jog + (step if tie.one in inside else -step)
                gain += tie.weight * (_cost(jog) - _cost(after))
    return gain


def _cost(jog: int) -> float:
    return abs(jog) * 0.5 + BENT if jog else 0.0


def _fits(
    frames: Sequence[Box],
    above: Sequence[Sequence[int]],
    by: Sequence[int],
    group: set[int],
    step: int,
) -> bool:
    for cell in group:
        down = by[cell] + step
        top, bottom = frames[cell].top + down, frames[cell].bottom + down
        for other in above[cell]:
            if other not in group:
                _, its_top, _, its_bottom = frames[other]
                if top < its_bottom + by[other] and its_top + by[other] < bottom:
                    return False
    return True
