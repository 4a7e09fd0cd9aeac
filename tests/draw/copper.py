"""What a reader joins: straight pieces, dots and points, by the rules of the pen.

A corner joins its two arms; where three or more arms meet only a dot joins them; lines
that cross without a dot don't meet, however their pieces were split when drawn.
"""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Generic, NamedTuple, TypeVar

Place = tuple[float, float]
Piece = tuple[Place, Place]
Key = TypeVar("Key", bound=Hashable)


class Groups(Generic[Key]):
    """Things that were found joined, two at a time."""

    def __init__(self) -> None:
        self._boss: dict[Key, Key] = {}

    def find(self, key: Key) -> Key:
        """Return what stands for the group of a thing, which may be new."""
        boss = self._boss.setdefault(key, key)
        while boss != self._boss[boss]:
            boss = self._boss[boss]
        self._boss[key] = boss
        return boss

    def join(self, keys: Iterable[Key]) -> None:
        """Join all of these."""
        own = [self.find(key) for key in keys]
        for other in own[1:]:
            self._boss[self.find(other)] = self.find(own[0])


class Tied(NamedTuple):
    """Something that a wire may end at: a pin, a rail symbol, a flag."""

    name: Hashable
    at: Place


def on(piece: Piece, at: Place) -> bool:
    """Return whether a point lies on a straight piece, its ends among them."""
    (x, y), (u, v) = piece
    return min(x, u) <= at[0] <= max(x, u) and min(y, v) <= at[1] <= max(y, v)


def joined(
    pieces: Iterable[Piece], dots: Iterable[Place], tied: Iterable[Tied]
) -> Groups[Hashable]:
    """Return what is joined, seen by the eye alone.

    Args:
        pieces: Horizontal and vertical pieces of wire.
        dots: Junction dots.
        tied: What wires end at.
    """
    whole, marked, things = list(pieces), set(dots), list(tied)
    assert all(a[0] == b[0] or a[1] == b[1] for a, b in whole), "a slanted wire"
    spots = _spots(whole, marked, things)
    split = {part for piece in whole for part in _split(piece, spots)}
    arms: dict[Place, list[Piece]] = {spot: [] for spot in spots}
    here: dict[Place, list[Hashable]] = {spot: [] for spot in spots}
    for part in sorted(split):
        for end in part:
            arms[end].append(part)
    for one in things:
        here[one.at].append(one.name)
    groups: Groups[Hashable] = Groups()
    for spot in spots:
        for meeting in _meeting(arms[spot], here[spot], dotted=spot in marked):
            groups.join(meeting)
    return groups


def _spots(
    whole: list[Piece], dots: set[Place], things: list[Tied]
) -> dict[Place, None]:
    """Return every point where something may meet."""
    ends = (end for piece in whole for end in piece)
    return dict.fromkeys((*ends, *dots, *(one.at for one in things)))


def _split(piece: Piece, spots: Iterable[Place]) -> Iterator[Piece]:
    """Yield a piece, parted wherever something may meet it."""
    yield from pairwise(sorted(spot for spot in spots if on(piece, spot)))


def _meeting(
    arms: list[Piece], things: list[Hashable], *, dotted: bool
) -> Iterator[Sequence[Hashable]]:
    """Yield what meets at a point, where these arms end."""
    ends: list[Hashable] = [*arms]
    if dotted or len(arms) + len(things) <= 2:
        yield [*ends, *things]
        return
    yield things
    level = [arm for arm in arms if arm[0][1] == arm[1][1]]
    upright = [arm for arm in arms if arm[0][1] != arm[1][1]]
    straight = [both for both in (level, upright) if len(both) == 2]
    if straight:
        yield from straight
    elif len(arms) == 2:
        yield ends
