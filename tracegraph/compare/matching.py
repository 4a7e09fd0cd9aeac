"""The least match of two boards: a first one, bettered, and searched where it limps."""

from collections.abc import Iterable
from typing import NamedTuple

from tracegraph.compare.bettering import (
    Whole,
    better,
    laid,
    limping_parts,
    restore,
    set_to,
)
from tracegraph.compare.equals import equal_matches
from tracegraph.compare.exact import Fits, search
from tracegraph.compare.match import STEP, Ground, Match
from tracegraph.compare.region import cleared, owners
from tracegraph.compare.sight import Sight
from tracegraph.compare.spread import by_name, spread

_SMALL = 12  # parts up to which every match is looked at
_LOOKS = 40_000  # laid parts that are looked at where all are searched
_FEW_LOOKS = 12_000  # and where some are
_PASSES = 6
_MOST_STEPS = 0.75  # steps for a part from which two sections are strange
_TRIES = 16  # neighbourhoods that are matched afresh
_FEW = 4  # other places that are tried for a part


class Matched(NamedTuple):
    """The least match found.

    Attributes:
        match: The match.
        others: Whole matches that cost as much, the first one left out.
        proven: Whether every match was looked at.
        equal: Sentences, where parts or blocks can't be told apart.
    """

    match: Match
    others: tuple[Whole, ...]
    proven: bool
    equal: tuple[str, ...] = ()


def least(ground: Ground) -> Matched:
    """Return the least match of two boards."""
    match, sight = Match(ground), Sight(ground)
    by_name(ground, match)
    spread(match, sight)
    if _strange(match):
        match.looks = _FEW_LOOKS
    better(match)
    if _strange(match):
        return Matched(match, (), proven=False)
    others, proven = _leasts(match, sight)
    return Matched(match, others, proven, equal_matches(match, sight))


def _strange(match: Match) -> bool:
    """Return whether it costs so much that nobody asks for the last step."""
    ground = match.ground
    larger = max(len(ground.reference.pieces), len(ground.traced.pieces))
    return larger > _FEW and match.cost() > STEP * _MOST_STEPS * larger


def _leasts(match: Match, sight: Sight) -> tuple[tuple[Whole, ...], bool]:
    """Make a match the least one; return others of its cost, and if that is proven."""
    old, new = len(match.ground.reference.pieces), len(match.ground.traced.pieces)
    if max(old, new) <= _SMALL:
        found = search(match, range(old), range(new), _LOOKS)
        wholes = _wholes(match, found.found, range(old))
        return _settled(match, found.cost, wholes), found.proven
    for _ in range(_PASSES):
        before = match.cost()
        others = _searched(match)
        if match.cost() == before and not _afresh(match, sight):
            return others, False
        better(match)
    return _searched(match), False


def _searched(match: Match) -> tuple[Whole, ...]:
    """Search where it limps; return other matches that cost as much."""
    olds, news = _limping(match)
    found = search(match, olds, news, _FEW_LOOKS)
    return _settled(match, found.cost, _wholes(match, found.found, olds))


def _settled(match: Match, cost: int, wholes: tuple[Whole, ...]) -> tuple[Whole, ...]:
    """Make a match the first of these where that is better; return the others."""
    if cost >= match.cost():
        return wholes
    set_to(match, wholes[0])
    return wholes[1:]


def _wholes(match: Match, others: list[Fits], olds: Iterable[int]) -> tuple[Whole, ...]:
    searched = set(olds)
    kept = {r: fit for r, fit in match.fits.items() if r not in searched}
    wholes = ({**kept, **dict(fits)} for fits in others)
    return tuple(one for one in wholes if one != match.fits)


def _afresh(match: Match, sight: Sight) -> bool:
    """Match a limping part and all around it afresh, elsewhere; return if it helps."""
    cost, before = match.cost(), dict(match.fits)
    for r, t in _elsewhere(match)[:_TRIES] if match.looks > 0 else ():
        cleared(match, {r, *owners(match, t)}, t)
        found = match.best(r, t)
        if found:
            match.put(r, found[1])
        spread(match, sight)
        better(match)
        if match.cost() < cost:
            return True
        set_to(match, before)
    return False


def _elsewhere(match: Match) -> list[tuple[int, int]]:
    """Return limping parts with other traced ones alike, of few alike the first."""
    ground = match.ground
    found: list[tuple[int, int, int]] = []
    for r in limping_parts(match):
        here = match.fits.get(r)
        alike = [
            t
            for t in range(len(ground.traced.pieces))
            if (not here or t != here.traced) and ground.own(r, t) == 0
        ]
        if len(alike) <= _FEW:
            found += [(len(alike), r, t) for t in alike if ground.ways(r, t)]
    return [(r, t) for _, r, t in sorted(found)]


def _limping(match: Match) -> tuple[list[int], list[int]]:
    """Return the parts to search together: those that limp, then their rivals."""
    limping = limping_parts(match)
    extra = match.extra()
    olds = sorted(limping, key=lambda r: (r in match.fits, -_own_cost(match, r)))
    rivals = [r for one in olds[:_SMALL] for r in _rivals(match, one)]
    rivals += [r for t in extra[:_SMALL] for r in _claimants(match, t)]
    olds = list(dict.fromkeys([*olds, *rivals, *_mixed(match)]))[:_SMALL]
    news = [match.fits[r].traced for r in olds if r in match.fits]
    return olds, [*news, *extra[:_SMALL]]


def _mixed(match: Match) -> list[int]:
    """Return the parts with pins in small chunks of nets that are not simply one."""
    small = {chunk for chunk, weight in match.tally.mixed().items() if weight < _FEW}
    fits = match.fits.items()
    return [r for r, fit in fits if not small.isdisjoint(fit.way.nets)]


def _own_cost(match: Match, r: int) -> int:
    fit = match.fits.get(r)
    return match.fit_cost(r, fit) if fit else 0


def _rivals(match: Match, r: int) -> list[int]:
    """Return the parts that may stand for this one at no more cost."""
    cost = match.cost()
    found = []
    for other, fit in list(match.fits.items()):
        if other != r and match.ground.ways(r, fit.traced):
            before = laid(match, r, fit.traced)
            if match.cost() <= cost:
                found.append(other)
            restore(match, before)
    return found


def _claimants(match: Match, t: int) -> list[int]:
    """Return the parts that a left-over traced part may stand for at no more cost."""
    cost = match.cost()
    found = []
    for r in range(len(match.ground.reference.pieces)):
        if match.ground.ways(r, t):
            before = laid(match, r, t)
            if match.cost() <= cost:
                found.append(r)
            restore(match, before)
    return found
