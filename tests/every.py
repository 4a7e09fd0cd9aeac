"""One test of many things: a test of its own for each may cost ten times the check."""

from collections.abc import Callable, Iterable
from typing import TypeVar

Thing = TypeVar("Thing")


def of_every(
    things: Iterable[Thing], name: Callable[[Thing], str] = str
) -> Callable[[Callable[[Thing], None]], Callable[[], None]]:
    """Return what makes one test of a check: of all things; it names the one that fails.

    Args:
        things: What is to be checked.
        name: How a thing is called.
    """
    every = tuple(things)

    def whole(check: Callable[[Thing], None]) -> Callable[[], None]:
        def test() -> None:
            for thing in every:
                try:
                    check(thing)
                except Exception as wrong:
                    wrong.add_note(f"of: {name(thing)}")
                    raise

        test.__name__, test.__doc__ = check.__name__, check.__doc__
        return test

    return whole
