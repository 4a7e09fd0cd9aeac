"""Tails: the condition of the bench that a reading, a block or a command names."""

from tracegraph.notation.parts import part
from tracegraph.notation.syntax import Tail
from tracegraph.notation.words import Branches


def tail(tree: Branches | None) -> Tail:
    """Return the condition as written; nothing written is an empty one."""
    found = Tail()
    for item in tree.below(*_ADD) if tree else ():
        found = _ADD[item.name](found, item)
    return found


def _without(found: Tail, item: Branches) -> Tail:
    return found._replace(without=found.without + item.words("REF"))


def _lifted(found: Tail, item: Branches) -> Tail:
    return found._replace(lifted=found.lifted + item.words("REF"))


def _joined(found: Tail, item: Branches) -> Tail:
    return found._replace(joined=(*found.joined, item.words("PLACE")))


def _plug_out(found: Tail, item: Branches) -> Tail:
    return found._replace(unplugged=found.unplugged + item.words("PLACE"))


def _fitted(found: Tail, item: Branches) -> Tail:
    added = tuple(part(inner, None) for inner in item.below("part"))
    return found._replace(fitted=found.fitted + added)


def _in_state(found: Tail, item: Branches) -> Tail:
    return found._replace(state=item.only("PLACE"))


def _after(found: Tail, item: Branches) -> Tail:
    return found._replace(after=next(item.below("amount")).only())


_ADD = {
    "without": _without,
    "lifted": _lifted,
    "joined": _joined,
    "plug_out": _plug_out,
    "fitted": _fitted,
    "in_state": _in_state,
    "after": _after,
}
