"""What may be said once only: a rail, a ground, a driven net, a rest of one sort."""

from collections.abc import Callable, Hashable, Iterable
from typing import Protocol, TypeVar

from tracegraph.diagnostics import Span, error
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.stage import Ground, Input, Rail, Rest


class Placed(Protocol):
    """A record that knows where it is written."""

    @property
    def span(self) -> Span | None:
        """The place."""


Record = TypeVar("Record", bound=Placed)


def once(
    desk: Desk, records: Iterable[Record], key: Callable[[Record], Hashable]
) -> tuple[Record, ...]:
    """Return the records without those that say again what another has said."""
    found: dict[Hashable, Record] = {}
    for record in records:
        first = found.setdefault(key(record), record)
        if first is not record:
            _twice(desk, first, record)
    return tuple(found.values())


def _twice(desk: Desk, first: Placed, again: Placed) -> None:
    message = "This is said twice; the first line is kept."
    hint = "Leave one of the two lines out, or correct the net."
    desk.problems.append(error("said-twice", message, again.span, hint))
    if first.span:
        desk.relate(first.span, "said here first")


def net_of(record: Ground | Rail | Input) -> Hashable:
    """Return what a ground, a rail or a driven net is known by."""
    return record.net


def pair_of(rest: Rest) -> Hashable:
    """Return what a rest is known by: its two nets, and what sort it is."""
    return frozenset((rest.a, rest.b)), rest.form
