"""Work that is done ahead gives way when it is called off."""

from collections.abc import Callable
from contextvars import ContextVar

CalledOff = ContextVar[Callable[[], bool] | None]
_called_off: CalledOff = ContextVar("called_off", default=None)


class Paused(Exception):  # noqa: N818 - nothing is wrong
    """The work was called off; what is worked out already stays known."""


def give_way(called_off: Callable[[], bool]) -> None:
    """Let the work of this thread from now on end once it is called off.

    Args:
        called_off: Whether it is.
    """
    _called_off.set(called_off)


def breathe() -> None:
    """End the work of this thread here, if it is called off.

    Raises:
        Paused: It is.
    """
    asked = _called_off.get()
    if asked and asked():
        raise Paused
