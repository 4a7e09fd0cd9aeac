"""What the unknowns of a section do to its levels: how far each of them moves a net."""

from collections.abc import Iterator, Sequence

import numpy as np

from tracegraph.meter.live.open_ends import driven, open_ends
from tracegraph.meter.live.standing import Standing, StandingError, standings
from tracegraph.meter.unknowns.unknown import Unknown
from tracegraph.network.circuit import Floats
from tracegraph.stage.alter import ChangeError, apply
from tracegraph.stage.stage import Stage

MOVES = 0.05  # part of a level by which an unknown moves it, and
LEAST_MOVE = 0.02  # the volts that it moves at least
MOST_WAYS = 24  # ways for an unknown to fall that are tried
LOST = "not all that it may be could be worked out"

Pair = tuple[str, str]
Hull = tuple[float, float] | None


def moved(
    stage: Stage, unknowns: Sequence[Unknown], first: Standing, pairs: Sequence[Pair]
) -> Iterator[tuple[str, str, list[Hull]]]:
    """Yield every unknown, what to do about it, and how far it moves each net.

    Where the section is not found with one thing that an unknown may be, no net but
    rails and grounds is told as if it stayed.

    Args:
        stage: The section.
        unknowns: What it leaves open.
        first: How it stands with all of them at their most usual.
        pairs: Nets of red and black.
    """
    base = _levels(first, first.nodes, pairs)
    held = [set(pair) <= set(stage.references) for pair in pairs]
    for index, unknown in enumerate(unknowns):
        rows = [base, *_fallen(stage, unknowns, index, first, pairs)]
        yield _told(unknown.subject, unknown.ask, rows, held)
    for end in open_ends(first):
        ways = [_levels(first, nodes, pairs) for nodes in driven(first, end)]
        ask = f"measure {end.net}, or find out what {end.pin} does"
        yield _told(f"what {end.pin} does", ask, [base, *ways], held)


def _told(
    subject: str, ask: str, rows: Sequence[Floats], held: Sequence[bool]
) -> tuple[str, str, list[Hull]]:
    """Return an unknown with how far each net goes, None where it stays."""
    found = [row for row in rows if np.isfinite(row).all()]
    lost = len(found) < len(rows)
    low, high = np.min(found, axis=0).tolist(), np.max(found, axis=0).tolist()
    hulls = [
        (a, b) if differs(a, b) or (lost and not fixed) else None
        for a, b, fixed in zip(low, high, held, strict=True)
    ]
    return f"{subject} ({LOST})" if lost else subject, ask, hulls


def differs(one: float, other: float, share: float = MOVES) -> bool:
    """Return whether two levels are told apart: by so great a part of them."""
    return abs(one - other) > max(LEAST_MOVE, share * max(abs(one), abs(other)))


def _levels(found: Standing, nodes: Floats, pairs: Sequence[Pair]) -> Floats:
    ends = [[found.circuit.nodes[net] for net in pair] for pair in pairs]
    return np.array([nodes[a] - nodes[b] for a, b in ends])


def _fallen(
    stage: Stage,
    unknowns: Sequence[Unknown],
    index: int,
    first: Standing,
    pairs: Sequence[Pair],
) -> Iterator[Floats]:
    """Yield the levels with one unknown at each of its other alternatives; NaN if lost."""
    for way in unknowns[index].alternatives[1:MOST_WAYS]:
        chosen = [one.alternatives[0].changes for one in unknowns]
        chosen[index] = way.changes
        try:
            other = apply(stage, [c for many in chosen for c in many], keep_names=True)
            found = standings(other, first.state, starts=0, near=first)[0]
        except ChangeError:
            continue  # it does not go with the others: no such board
        except StandingError:
            yield np.full(len(pairs), np.nan)
            continue
        yield _levels(found, found.nodes, pairs)
