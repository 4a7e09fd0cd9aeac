"""A match bettered by single exchanges, until none helps."""

from tracegraph.compare.match import Fit, Match

_PASSES = 6

Whole = dict[int, Fit]
"""A match written down: for every matched part of the reference where it lies."""


def better(match: Match) -> None:
    """Better a match by single exchanges until none helps, or it has cost enough."""
    for _ in range(_PASSES):
        before = match.cost()
        for r in limping_parts(match):
            if match.looks > 0:
                _exchange(match, r)
        for t in match.extra():
            if match.looks > 0:
                _claim(match, t)
        if match.cost() >= before or match.looks <= 0:
            return


def limping_parts(match: Match) -> list[int]:
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
        changed = laid(match, r, t)
        now = match.cost()
        if now < cost:
            cost, best = now, dict(match.fits)
        restore(match, changed)
    set_to(match, best)


def _claim(match: Match, t: int) -> None:
    """Give a traced part that is left over to the part it fits best, if that helps."""
    cost, best = match.cost(), dict(match.fits)
    for r in range(len(match.ground.reference.pieces)):
        if match.ground.ways(r, t):
            changed = laid(match, r, t)
            now = match.cost()
            if now < cost:
                cost, best = now, dict(match.fits)
            restore(match, changed)
    set_to(match, best)


Changed = dict[int, Fit | None]


def laid(match: Match, r: int, t: int) -> Changed:
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


def restore(match: Match, before: Changed) -> None:
    """Lay these parts as they were."""
    for one in before:
        if one in match.fits:
            match.take(one)
    for one, fit in before.items():
        if fit:
            match.put(one, fit)


def set_to(match: Match, fits: Whole) -> None:
    """Make a match be this one."""
    changed = [r for r in {*match.fits, *fits} if match.fits.get(r) != fits.get(r)]
    restore(match, {r: fits.get(r) for r in changed})
