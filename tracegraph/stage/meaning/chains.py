"""Chains along the copper: parts and nets alternate, unnamed nets between parts."""

from itertools import pairwise
from typing import NamedTuple

from tracegraph.marking import parse_any
from tracegraph.notation.syntax import ChainLine, ChainStep, Word
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.joints import Key
from tracegraph.stage.meaning.names import meet, spot
from tracegraph.stage.part import Part, Pin

_VALUES = frozenset({"ohm", "F", "H"})  # volts may well be a net's name: 3.3V


class Station(NamedTuple):
    """A step of a chain with what it offers to the left and to the right."""

    word: Word
    left: Key
    right: Key


def bind_chain(desk: Desk, line: ChainLine) -> None:
    """Bind the pins along a chain; a step that is not understood parts it."""
    arrows = ["", *(step.arrow for step in line.steps)]
    stations = [
        _station(desk, step, before, step.arrow)
        for step, before in zip(line.steps, arrows, strict=False)
    ]
    for one, other in pairwise(stations):
        if one and other:
            _meet(desk, one, other)


def _meet(desk: Desk, one: Station, other: Station) -> None:
    pin_first = isinstance(one.right, Pin)
    a, b = (one.right, other.left) if pin_first else (other.left, one.right)
    meet(desk, a, b, one.word if pin_first else other.word)


def _station(desk: Desk, step: ChainStep, before: str, after: str) -> Station | None:
    word = step.words[0]
    part = desk.part(word.text)
    if part is None:
        if word.text.lower() in desk.lost or _nameless(desk, word):
            return None
        key = spot(desk, word)
        return Station(word, key, key) if key is not None else None
    return _through(desk, word, part, before, after)


def _nameless(desk: Desk, word: Word) -> bool:
    """Ask where a step is a value and no part: `GATE -- 47R -- COM`."""
    value = parse_any(word.text)
    plain = desk.nets.get(word.text.lower(), 0) > 1 or not word.text[0].isdigit()
    if plain or value is None or value.unit not in _VALUES:
        return False
    message = f"`{word.text}` is a value, and no part is named that has it."
    desk.error("nameless-station", message, word, f"Write R1 {word.text}, say.")
    return True


def _through(
    desk: Desk, word: Word, part: Part, before: str, after: str
) -> Station | None:
    """Return a part's two pins in the direction of the chain."""
    names = [spec.name for spec in part.kind.pins] or ["1", "2"]
    if len(names) != 2:
        message = (
            f"{part.ref} has {len(names)} pins: a chain cannot tell which it takes."
        )
        hint = f"Write the pins in the chain, as {part.ref}.{names[0]}."
        desk.error("chain-needs-pins", message, word, hint)
        return None
    if {before, after} & {"->", "<-"} == {"<-"}:
        names.reverse()
    first, second = (desk.joints.pin(Pin(part.ref, name), word.span) for name in names)
    return Station(word, first, second)
