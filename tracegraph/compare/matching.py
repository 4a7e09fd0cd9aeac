"""The least match of two boards: a first one, bettered, and searched where it limps."""

from collections.abc import Iterable
from typing import NamedTuple

from tracegraph.compare.exact import Fits, search
from tracegraph.compare.match import Fit, Ground, Match
from tracegraph.compare.spread import by_name, spread

_SMALL = 12  # parts up to which every match is looked at
_LOOKS = 40_000
_PASSES = 6

Whole = dict[int, Fit]


class Matched(NamedTuple):
    """The least match found.

    Attributes:
        match: The match.
        others: Whole matches that cost as much, the first one left out.
        proven: Whether every match was looked at.
    """

    match: Match
    others: tuple[Whole, ...]
    proven: bool


def least(ground: Ground) -> Matched:
    """Return the least match of two boards."""
    match = Match(ground)
    by_name(ground, match)
    spread(ground, match)
    _better(match)
    old, new = len(ground.reference.pieces), len(ground.traced.pieces)
    every = max(old, new) <= _SMALL
    wholes: tuple[Whole, ...] = ()
    proven = False
    for _ in range(_PASSES):
        parts = (list(range(old)), list(range(new))) if every else _limping(match)
        found = search(match, *parts, _LOOKS)
        wholes = _wholes(match, found.found, parts[0])
        proven = every and found.proven
        if found.cost >= match.cost():
            break
        set_to(match, wholes[0])
        if every:
            break
        _better(match)
    return Matched(match, wholes, proven)


def _wholes(match: Match, others: list[Fits], olds: Iterable[int]) -> tuple[Whole, ...]:
    kept = {r: fit for r, fit in match.fits.items() if r not in set(olds)}
    wholes = ({**kept, **dict(fits)} for fits in others)
    return tuple(one for one in wholes if one != match.fits)


def _better(match: Match) -> None:
    """Better a match by single exchanges until none helps."""
    for _ in range(_PASSES):
        before = match.cost()
        for r in _limping_parts(match):
            _exchange(match, r)
        for t in match.extra():
            _claim(match, t)
        if match.cost() >= before:
            return


def _limping_parts(match: Match) -> list[int]:
    """Return the parts of the reference that are absent or cost something where they are."""
    return [r for r in range(len(match.ground.reference.pieces)) if _limps(match, r)]


def _limps(match: Match, r: int) -> bool:
    if r not in match.fits:
        return True
    cost = match.matched_cost()
    fit = match.take(r)
    limps = match.matched_cost() < cost
    match.put(r, fit)
    return limps


def _exchange(match: Match, r: int) -> None:
    """Lay a part where it costs least, exchanging it with the part that is there."""
    cost, best = match.cost(), dict(match.fits)
    for t in range(len(match.ground.traced.pieces)):
        if not match.ground.ways(r, t):
            continue
        changed = _laid(match, r, t)
        now = match.cost()
        if now < cost:
            cost, best = now, dict(match.fits)
        _restore(match, changed)
    set_to(match, best)


def _claim(match: Match, t: int) -> None:
    """Give a traced part that is left over to the part it fits best, if that helps."""
    cost, best = match.cost(), dict(match.fits)
    for r in range(len(match.ground.reference.pieces)):
        if match.ground.ways(r, t):
            changed = _laid(match, r, t)
            now = match.cost()
            if now < cost:
                cost, best = now, dict(match.fits)
            _restore(match, changed)
    set_to(match, best)


Changed = dict[int, Fit | None]


def _laid(match: Match, r: int, t: int) -> Changed:
    """Lay a part on a traced one; who was there gets its place. Return how it was."""
    other = match.owner.get(t, r)
    before: Changed = {one: match.fits.get(one) for one in (r, other)}
    for one, fit in before.items():
        if fit:
            match.take(one)
    old = before[r]
    _lay(match, r, t)
    if other != r and old:
        _lay(match, other, old.traced)
    return before


def _lay(match: Match, r: int, t: int) -> None:
    found = match.best(r, t)
    if found:
        match.put(r, found[1])


def _restore(match: Match, before: Changed) -> None:
    for one in before:
        if one in match.fits:
            match.take(one)
    for one, fit in before.items():
        if fit:
            match.put(one, fit)


def set_to(match: Match, fits: Whole) -> None:
    """Make a match be this one."""
    changed = [r for r in {*match.fits, *fits} if match.fits.get(r) != fits.get(r)]
    _restore(match, {r: fits.get(r) for r in changed})


def _limping(match: Match) -> tuple[list[int], list[int]]:
    """Return the parts to search together: those that limp, then their rivals."""
    limping = _limping_parts(match)
    extra = match.extra()
    olds = sorted(limping, key=lambda r: (r in match.fits, -_own_cost(match, r)))
    rivals = [r for one in olds[:_SMALL] for r in _rivals(match, one)]
    rivals += [r for t in extra[:_SMALL] for r in _claimants(match, t)]
    olds = list(dict.fromkeys([*olds, *rivals]))[:_SMALL]
    news = [match.fits[r].traced for r in olds if r in match.fits]
    return olds, [*news, *extra[:_SMALL]]


def _own_cost(match: Match, r: int) -> int:
    fit = match.fits.get(r)
    return match.fit_cost(r, fit) if fit else 0


def _rivals(match: Match, r: int) -> list[int]:
    """Return the parts that may stand for this one at no more cost."""
    cost = match.cost()
    found = []
    for other, fit in list(match.fits.items()):
        if other != r and match.ground.ways(r, fit.traced):
            before = _laid(match, r, fit.traced)
            if match.cost() <= cost:
                found.append(other)
            _restore(match, before)
    return found


def _claimants(match: Match, t: int) -> list[int]:
    """Return the parts that a left-over traced part may stand for at no more cost."""
    cost = match.cost()
    found = []
    for r in range(len(match.ground.reference.pieces)):
        if match.ground.ways(r, t):
            before = _laid(match, r, t)
            if match.cost() <= cost:
                found.append(r)
            _restore(match, before)
    return found
