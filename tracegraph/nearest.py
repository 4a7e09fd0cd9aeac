"""The name that was probably meant, for every question after a slip."""

from collections.abc import Iterable


def nearest(name: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """Return the known name that was probably meant, in any case; empty if none is.

    >>> nearest("gaet", ["GATE", "COM"])
    'GATE'
    """
    from difflib import get_close_matches  # only where something is amiss

    by_case = {one.lower(): one for one in known}
    near = get_close_matches(name.lower(), by_case, n=1, cutoff=cutoff)
    return by_case[near[0]] if near else ""


def did_you_mean(name: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """Return a question after the name that was probably meant, or nothing.

    >>> did_you_mean("gaet", ["GATE", "COM"])
    '; did you mean GATE?'
    """
    near = nearest(name, known, cutoff)
    return f"; did you mean {near}?" if near else ""
