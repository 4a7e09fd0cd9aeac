"""Names in a row, as a sentence has them."""

from collections.abc import Iterable


def listed(names: Iterable[object]) -> str:
    """Return names as a sentence has them; nothing for none.

    >>> listed(["R1.2", "R2.1", "Q1.b"]), listed(["R1"]), listed([])
    ('R1.2, R2.1 and Q1.b', 'R1', '')
    """
    *most, last = ("", *map(str, names))
    return f"{', '.join(most[1:])} and {last}" if most[1:] else last
