"""How the bench stood: tails of readings and blocks as a Condition."""

from dataclasses import replace
from types import MappingProxyType

from tracegraph.marking import parse_value
from tracegraph.notation.syntax import PartLine, Tail, Word
from tracegraph.stage.change import Add, Change, Cut, Remove
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.parts import describe
from tracegraph.stage.meaning.pinout import is_parameter, split_pin
from tracegraph.stage.meaning.wording import Wording
from tracegraph.stage.part import Part
from tracegraph.stage.reading import COLD, Condition
from tracegraph.stage.stage import Stage

_AFTER = Condition().after


def condition(desk: Desk, stage: Stage, tail: Tail) -> Condition:
    """Return the condition that a tail describes; what is unknown is reported."""
    changes: list[Change] = []
    for word in tail.without:
        changes += [Remove(part.ref) for part in parts_of(desk, stage, word)]
    for word in tail.lifted:
        pin = stage.pin(word.text)
        if pin is None:
            _unknown(desk, stage, word, "pin")
        changes += [Cut(pin)] if pin else []
    for line in tail.fitted:
        part = stand_in(desk, stage, line)
        changes += [Add(part)] if part else []
    return Condition(
        _power(desk, stage, tail.state),
        tuple(changes),
        tuple(_nets(desk, stage, group) for group in tail.joined),
        _seconds(desk, tail.after),
        tuple(net for word in tail.unplugged for net in _plug(desk, stage, word)),
    )


def joined_conditions(block: Condition, own: Condition, tail: Tail) -> Condition:
    """Return a block's condition with what one of its readings adds."""
    return Condition(
        own.power if tail.state else block.power,
        (*block.changes, *own.changes),
        (*block.joined, *own.joined),
        own.after if tail.after else block.after,
        (*block.unplugged, *own.unplugged),
    )


def parts_of(desk: Desk, stage: Stage, word: Word) -> list[Part]:
    """Return the part, or the units of the package, that a word names."""
    part = stage.part(word.text)
    if part:
        return [part]
    wanted = word.text.lower()
    units = [one for one in stage.parts if one.package.lower() == wanted]
    if not units:
        _unknown(desk, stage, word, "part")
    return units


def stand_in(desk: Desk, stage: Stage, line: PartLine) -> Part | None:
    """Return a part that is not on the board, wired to nets that are."""
    arrow = line.ends.arrow if line.ends else None
    wording = Wording(
        line.ref, line.words, line.settings, line.marked, line.about, line.rating, arrow
    )
    part = describe(desk, wording)
    if part is None:
        return None
    places: dict[str, Word] = {}
    if line.ends and len(part.kind.pins) == 2:
        first, second = (spec.name for spec in part.kind.pins)
        places = {first: line.ends.left, second: line.ends.right}
    for one in line.settings:
        own = part.leg(split_pin(one.name)[0])
        if own and not is_parameter(part.kind, one):
            places[own] = one.value
    nets = {name: _net(desk, stage, word) for name, word in places.items()}
    known = {name: net for name, net in nets.items() if net}
    return replace(part, pins=MappingProxyType(known))


def _net(desk: Desk, stage: Stage, word: Word) -> str | None:
    net = stage.net(word.text)
    if net is None:
        _unknown(desk, stage, word, "net")
    return net


def _nets(desk: Desk, stage: Stage, group: tuple[Word, ...]) -> tuple[str, ...]:
    return tuple(net for word in group if (net := _net(desk, stage, word)))


def _plug(desk: Desk, stage: Stage, word: Word) -> tuple[str, ...]:
    """Return the nets that a plug reaches: those of its connector, or the one named."""
    part = stage.part(word.text)
    return tuple(part.pins.values()) if part else _nets(desk, stage, (word,))


def _power(desk: Desk, stage: Stage, word: Word | None) -> str:
    if word is None:
        return COLD
    names = {state.name.lower(): state.name for state in stage.states}
    if word.text.lower() not in names:
        message = f"There is no state {word.text}."
        hint = ask_meant(word.text, names.values(), f"Write `state {word.text} ...`.")
        desk.error("unknown-state", message, word, hint)
    return names.get(word.text.lower(), COLD)


def _seconds(desk: Desk, word: Word | None) -> float:
    value = parse_value(word.text, "s") if word else None
    if word and value is None:
        desk.error("no-value", f"`{word.text}` is no time.", word, "Write it as 10s.")
    return value.number if value else _AFTER


def _unknown(desk: Desk, stage: Stage, word: Word, what: str) -> None:
    if word.text.partition(".")[0].lower() in desk.lost:
        return
    known = [*stage.nets, *(part.ref for part in stage.parts)]
    message = f"There is no {what} {word.text}."
    hint = ask_meant(word.text, known, "Write it in the section first.")
    desk.error(f"unknown-{what}", message, word, hint)
