"""What was done to the board between two blocks of readings."""

from dataclasses import replace
from types import MappingProxyType

from tracegraph.notation.syntax import EventLine, Setting, Word
from tracegraph.stage.change import Add, Become, Change, Remove, Vary
from tracegraph.stage.meaning.conditions import parts_of
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.kindwords import choose_kind
from tracegraph.stage.meaning.parts import describe
from tracegraph.stage.meaning.wording import Wording
from tracegraph.stage.part import Part, Status
from tracegraph.stage.reading import Deed, Event
from tracegraph.stage.stage import Link, Stage

_DEEDS = {
    "replaced": Deed.REPLACED,
    "fitted": Deed.FITTED,
    "removed": Deed.REMOVED,
    "cut": Deed.CUT_LINK,
}


def read_event(desk: Desk, stage: Stage, line: EventLine) -> Event | None:
    """Return the event with what it changes; None where its target is unknown."""
    deed = _DEEDS[line.verb.text.lower()]
    words = _as_written(line.words, line.settings)
    if deed is Deed.CUT_LINK:
        return _cut_link(desk, stage, line)
    parts = [part for word in line.targets for part in parts_of(desk, stage, word)]
    if not parts:
        return None
    changes = tuple(
        change for part in parts for change in _changes(desk, deed, part, line)
    )
    target = tuple(word.text for word in line.targets)
    return Event(deed, target, changes, line.span, words)


def _as_written(
    words: tuple[Word, ...], settings: tuple[Setting, ...]
) -> tuple[str, ...]:
    plain = (f'"{word.text}"' if word.quoted else word.text for word in words)
    return (*plain, *(f"{one.name.text}={one.value.text}" for one in settings))


def _changes(desk: Desk, deed: Deed, part: Part, line: EventLine) -> tuple[Change, ...]:
    if deed is Deed.REMOVED:
        return (Remove(part.ref),)
    if deed is Deed.FITTED:
        fitted = replace(part, status=Status.FITTED)
        return (Add(fitted), *_other(desk, part, line))
    return _other(desk, part, line)


def _other(desk: Desk, part: Part, line: EventLine) -> tuple[Change, ...]:
    """Return what makes the part another one: kind or quantities that are written."""
    if not line.words and not line.settings:
        return ()
    other = _described(desk, part, line)
    if other is None:
        return ()
    stated = {
        symbol: told
        for symbol, told in other.given.items()
        if told.known and told != part.given.get(symbol)
    }
    if other.kind is not part.kind:
        return (Become(part.ref, other.kind.word, MappingProxyType(stated)),)
    return tuple(Vary(part.ref, symbol, told) for symbol, told in stated.items())


def _described(desk: Desk, part: Part, line: EventLine) -> Part | None:
    """Return the new part; a kind that is not written again is the old one's."""
    before = len(desk.problems)
    own = () if choose_kind(line.words)[0] else (Word(part.kind.word, line.verb.span),)
    words = (*line.words, *own)
    other = describe(
        desk, Wording(Word(part.ref, line.verb.span), words, line.settings)
    )
    kept = desk.problems[before:]
    desk.problems[before:] = [one for one in kept if one.code != "value-missing"]
    return other


def _cut_link(desk: Desk, stage: Stage, line: EventLine) -> Event | None:
    nets = [stage.net(word.text) for word in line.targets]
    if not any(joins(link, nets) for link in stage.links):
        names = " ".join(word.text for word in line.targets)
        message = f"No link or bridge {names} was written that could be cut."
        desk.error("unknown-link", message, line.targets[0], f"Write `bridge {names}`.")
        return None
    target = tuple(net for net in nets if net)
    return Event(Deed.CUT_LINK, target, (), line.span)


def joins(link: Link, nets: list[str | None]) -> bool:
    """Return whether a link lies between these two nets."""
    return {link.a, link.b} == set(nets)
