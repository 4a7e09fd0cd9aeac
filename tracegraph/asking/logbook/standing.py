"""How the bench stands while readings are taken: what was lifted, what was put back."""

from collections.abc import Iterable
from typing import TypeVar

from tracegraph.stage.change import Add, Change, Cut, Remove
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import AS_IT_LIES, Condition, Deed, Event
from tracegraph.stage.stage import Stage
from tracegraph.stage.writing.log import tail_words
from tracegraph.stage.writing.parts import places

_ORDER: tuple[type[Change], ...] = (Remove, Cut, Add)
Item = TypeVar("Item")


def settled(condition: Condition) -> Condition:
    """Return the same condition with everything said once, in the notation's order."""
    known = [one for sort in _ORDER for one in condition.changes if type(one) is sort]
    return condition._replace(
        changes=_once(known),
        joined=_once(condition.joined),
        unplugged=_once(condition.unplugged),
    )


def _once(items: Iterable[Item]) -> tuple[Item, ...]:
    found: list[Item] = []
    for one in items:
        if one not in found:
            found.append(one)
    return tuple(found)


def lasting(condition: Condition) -> Condition:
    """Return what still holds at the next reading: nets joined are parted again."""
    return condition._replace(joined=(), after=AS_IT_LIES.after)


def standing_words(stage: Stage, condition: Condition) -> str:
    """Return how the bench stands in the notation's words; empty if as it lies."""
    return " ".join(tail_words(condition, AS_IT_LIES, places(stage)))


def refitted(stage: Stage, condition: Condition, name: str) -> Condition | None:
    """Return the bench with one thing put back, or None if it is where it belongs.

    Args:
        stage: The section.
        condition: How the bench stands.
        name: A leg (`R14.1`), a part or stand-in, a connector, or a net.
    """
    pin = stage.pin(name)
    part = stage.part(name)
    nets = set(part.pins.values()) if part else {stage.net(name)}
    kept = tuple(one for one in condition.changes if not _is_of(one, name, pin))
    out = tuple(net for net in condition.unplugged if net not in nets)
    new = condition._replace(changes=kept, unplugged=out)
    return None if new == condition else new


def _is_of(change: Change, name: str, pin: Pin | None) -> bool:
    """Return whether a change made on the bench is of this leg or part."""
    wanted = name.lower()
    match change:
        case Cut(pin=lifted):
            return lifted == pin or lifted.part.lower() == wanted
        case Remove(part=ref):
            return wanted in {ref.lower(), ref.partition(".")[0].lower()}
        case Add(part=part):
            return part.ref.lower() == wanted
        case _:
            return False


def after_event(stage: Stage, condition: Condition, event: Event) -> Condition:
    """Return how the bench stands once a part was replaced, fitted or taken out.

    A part that is changed has no leg in the air any more.
    """
    if event.deed is Deed.CUT_LINK:
        return condition
    for name in event.target:
        condition = refitted(stage, condition, name) or condition
    return condition
