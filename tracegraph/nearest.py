"""The name that was probably meant, for every question after a slip."""

from collections.abc import Iterable


def did_you_mean(name: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """Return a question after the name that was probably meant, or nothing.

    >>> did_you_mean("gaet", ["GATE", "COM"])
    '; did you mean GATE?'
    """
    from difflib import get_close_matches

    by_case = {one.lower(): one for one in known}
    near = get_close_matches(name.lower(), by_case, n=1, cutoff=cutoff)
    return f"; did you mean {by_case[near[0]]}?" if near else ""
