"""Words that several views share: windows, and how the bench stands."""

from tracegraph.display import show
from tracegraph.stage.change import (
    Add,
    Become,
    Change,
    Cut,
    Permute,
    Remove,
    Split,
    Tie,
    Vary,
)
from tracegraph.stage.reading import Condition


def window(low: float | None, high: float | None, unit: str) -> str:
    """Return an interval as it is spoken, or nothing where there is none.

    >>> window(21.7e3, 22.3e3, "ohm"), window(0.61, 0.61, "V"), window(None, None, "V")
    ('21.7 to 22.3 k', '0.61 V', '')
    """
    if low is None or high is None:
        return ""
    first, second = show(low, unit), show(high, unit)
    if first == second:
        return first
    digits, _, tail = first.partition(" ")
    return f"{digits if second.endswith(f' {tail}') else first} to {second}"


def bench(condition: Condition) -> str:
    """Return how the bench stands: `cold`, or `cold, without Q13, after 10 s`."""
    return ", ".join(bench_words(condition))


def standing(condition: Condition, meter: str) -> str:
    """Return how the bench stands and which meter is on it, as a sentence."""
    power, *told = bench_words(condition)
    board = "Cold board" if condition.cold else f"Powered, in {power}"
    return f"{', '.join((board, *told))}, meter {meter}."


def bench_words(condition: Condition) -> tuple[str, ...]:
    """Return how the bench stands, one fact each."""
    waited = condition.after != Condition().after
    return (
        condition.power,
        *(change_words(change) for change in condition.changes),
        *(f"joined {' '.join(nets)}" for nets in condition.joined),
        *(f"unplugged {net}" for net in condition.unplugged),
        *((f"after {show(condition.after, 's')}",) if waited else ()),
    )


def change_words(change: Change) -> str:
    """Return an alteration as a technician would call it."""
    match change:
        case Remove(part):
            return f"without {part}"
        case Cut(pin):
            return f"lifted {pin}"
        case Add(part):
            return f"with {part.ref} ({part.kind.title})"
        case Tie(a, b, ohms):
            return f"{a} joined to {b}" + (f" by {show(ohms, 'ohm')}" if ohms else "")
        case Split(net):
            return f"{net} parted"
        case Vary() | Permute() | Become():
            return f"{change.part} altered"
