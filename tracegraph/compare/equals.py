"""Where another match is as good: parts, or whole blocks, that nothing tells apart."""

from collections.abc import Iterator

from tracegraph.compare.bettering import better, laid, restore, set_to
from tracegraph.compare.match import Match
from tracegraph.compare.region import cleared, owners
from tracegraph.compare.sight import Sight
from tracegraph.compare.spread import spread
from tracegraph.listing import listed

_BLOCKS = 3  # blocks that are matched the other way round to see
_NAMED = 4  # parts of a block that a sentence names


def equal_matches(match: Match, sight: Sight) -> tuple[str, ...]:
    """Return sentences on matches as good as this one; none where designators tell."""
    return () if match.ground.rules.names else tuple(_sentences(match, sight))


def _sentences(match: Match, sight: Sight) -> Iterator[str]:
    told: set[int] = set()
    blocks = 0
    for group in _groups(match, sight):
        first, *others = group
        twins = [r for r in others if _twin(match, first, r)]
        if twins:
            told |= {first, *twins}
            names = listed(_names(match, [first, *twins]))
            yield f"{names} hang on the same nets and are alike: none can be told apart"
        elif told.isdisjoint(group) and blocks < _BLOCKS:
            blocks += 1
            block = _exchanged(match, sight, first, others[0])
            told |= set(block)
            if block:
                yield _of_block(_names(match, block))


def _groups(match: Match, sight: Sight) -> list[list[int]]:
    """Return matched parts of the reference that look the same from everywhere."""
    groups: dict[int, list[int]] = {}
    for r in sorted(match.fits):
        groups.setdefault(sight.old[-1][r], []).append(r)
    return [group for group in groups.values() if len(group) > 1]


def _names(match: Match, parts: list[int]) -> list[str]:
    return [match.ground.reference.pieces[r].part.ref for r in parts]


def _twin(match: Match, one: int, other: int) -> bool:
    cost = match.cost()
    before = laid(match, one, match.fits[other].traced)
    same = match.cost() == cost
    restore(match, before)
    return same


def _exchanged(match: Match, sight: Sight, one: int, other: int) -> list[int]:
    """Return the parts that lie elsewhere, as well, once one lies where another did."""
    cost, fits = match.cost(), dict(match.fits)
    there = fits[other].traced
    cleared(match, {one, *owners(match, there)}, there)
    found = match.best(one, there)
    if found:
        match.put(one, found[1])
    spread(match, sight)
    better(match)
    now = match.fits
    moved = [r for r in fits if r not in now or now[r].traced != fits[r].traced]
    same = match.cost() == cost
    set_to(match, fits)
    return moved if same else []


def _of_block(names: list[str]) -> str:
    more = len(names) - _NAMED
    shown = listed([*names[:_NAMED], *([f"{more} more"] if more > 0 else [])])
    return f"{shown} can be matched in another way that fits as well"
